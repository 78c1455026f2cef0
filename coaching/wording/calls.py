"""Plain calls for a sheet that goes into isolation: what one may do, under which condition, when to stop.

They repeat today's verdict and the limits of the plan; what is not shared or not known is said to be so.
"""

from __future__ import annotations

from datetime import date, timedelta

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.conclusions import Deadline, Limit
from coaching.usecases.cutting import TodayWithheld
from coaching.usecases.shown import AthleteShown, EventShown
from coaching.usecases.shown_event import EntryRow
from coaching.wording import care, limits, verdicts
from coaching.wording.conditions import condition
from coaching.wording.dates import day, weekday
from coaching.wording.sentences import capital
from coaching.wording.sites import site_list

CALLS = {
    "may-climb": _("may climb"), "protected": _("may climb, protected"), "only-if": _("only if"),
    "not-known": _("not known"), "not-today": _("not today"), "ask": _("ask before climbing"),
}  # fmt: skip
CALL_OF = {
    "free": "may-climb", "protected": "protected", "not-those-holds": "only-if", "off": "not-today",
    "medical": "not-today", "not-known": "not-known",
}  # fmt: skip
"""The call for each verdict of the day."""
STOPS = {
    "may-climb": "", "protected": _("out if the tape moves"), "only-if": _("out if the tape moves"),
    "not-known": _("does not start before a look"), "not-today": _("does not warm up"), "ask": "",
}  # fmt: skip
"""When to stop, beyond the rule that holds for everybody."""
COUNTED = {
    "may-climb": _("%(n)d may climb"), "protected": _("%(n)d protected"), "only-if": _("%(n)d only if"),
    "not-known": _("%(n)d not known"), "not-today": _("%(n)d not today"), "ask": _("%(n)d to ask about"),
}  # fmt: skip
STATUSES = {"entered": _("entered"), "stand-in": _("stand-in"), "withdrawn": _("withdrawn")}
LOOKS = {
    "look": _("look %(day)s"),
    "taped-try": _("taped try %(day)s"),
    "medical-signoff": _("sign-off %(day)s"),
}
"""Deadlines at which somebody's own eyes decide, as the sheet says them."""


def call_of(row: EntryRow) -> str:
    """The code of the call: today's verdict; a withdrawn athlete is not asked to climb here. Whoever is told neither
    answers nor damage hears whom to ask, and nothing of what lies behind.
    """
    if row.status == "withdrawn":
        return "not-today"
    today = row.athlete.today
    return "ask" if isinstance(today, TodayWithheld) else CALL_OF[today.may_climb]


def call(code: str) -> str:
    """The call in words."""
    return str(CALLS[code])


def call_note(row: EntryRow, as_of: date) -> str:
    """What the call depends on: holds to leave out, the next look, or who decides."""
    today, shown = row.athlete.today, call_of(row)
    if shown == "ask":
        return gettext("the medical person or the coach knows what is allowed")
    if shown == "only-if":
        return "; ".join(filter(None, (_left_out(row.athlete), _after_look(row, as_of))))
    if row.status == "withdrawn":
        return ""
    if today.may_climb == "medical":
        return gettext("medical decides")
    return gettext("no load on the hands") if today.may_climb == "off" else ""


def _left_out(row: AthleteShown) -> str:
    if row.today.avoid:
        return gettext("without %(holds)s") % {"holds": verdicts.holds(row.today.avoid)}
    return gettext("the holds to leave out are not shared with you") if not _open(row) else ""


def _after_look(row: EntryRow, as_of: date) -> str:
    found = next((d for d in looks(row) if d.kind == "look"), None)
    return gettext("the look on %(day)s is good") % {"day": weekday(found.latest, as_of)} if found else ""


def _open(row: AthleteShown) -> bool:
    """Whether sites and protection are shared at all."""
    return {"damage", "checkins"} <= row.shared


def looks(row: EntryRow) -> list[Deadline]:
    """Looks, taped tries and sign-offs still ahead, in the order of time."""
    found = [d for d in (row.entry.deadlines if row.entry else ()) if d.kind in LOOKS]
    return sorted((d for d in found if d.state in ("open", "due")), key=lambda d: (d.latest, d.kind))


def look_when(row: EntryRow, as_of: date) -> str:
    """ "look Mon 15", or nothing."""
    found = next_look(row)
    return str(LOOKS[found.kind]) % {"day": weekday(found.latest, as_of)} if found else ""


def next_look(row: EntryRow) -> Deadline | None:
    """The next time that somebody looks."""
    return next(iter(looks(row)), None)


def protect(row: EntryRow, event: EventShown) -> str:
    """Tape and covers planned from today to the event's last day; never "none" where nobody knows."""
    found = row.athlete
    if row.status == "withdrawn":
        return ""
    if not _open(found):
        return gettext("not shared with you")
    if call_of(row) == "not-known":
        return gettext("not known")
    said = [_cover(form, places) for form, places in _covers(found, event)]
    if said:
        return "; ".join(said)
    if call_of(row) == "not-today":
        return gettext("no load")
    if found.today.sites:
        return verdicts.what_it_means(found.today)[0]
    return gettext("none asked for")


def _covers(row: AthleteShown, event: EventShown) -> list[tuple[str, tuple[str, ...]]]:
    """Each form of cover once with its sites: of the event's days where they are planned, else of today."""
    planned = [s for s in row.steps if s.verb == "cover" and row.as_of <= s.date <= event.last_day]
    there = [s for s in planned if s.date >= event.first_day] or [s for s in planned if s.date == row.as_of]
    return list(dict.fromkeys((s.form, s.sites) for s in there))


def _cover(form: str, places: tuple[str, ...]) -> str:
    name = care.form(form)
    return gettext("%(form)s: %(sites)s") % {"form": name, "sites": site_list(places)} if places else name


def most(row: EntryRow, event: EventShown) -> str:
    """What the plan allows at most, on the event's days where it says so, else today; silence allows nothing."""
    found, shown = row.athlete, call_of(row)
    if shown in ("not-today", "not-known"):
        return ""
    if not _open(found):
        return gettext("not shared with you")
    limit = _limit(found, event)
    if limit is None:
        return gettext("no limit in the plan")
    said = capital(day(limit.date, found.as_of)) + ": " + "; ".join(limits.what_is_allowed(limit))
    return f"{said}, {_if(limit, found.as_of)}" if limit.if_ else said


def _limit(row: AthleteShown, event: EventShown) -> Limit | None:
    days = [event.first_day + timedelta(days=n) for n in range((event.last_day - event.first_day).days + 1)]
    found = {limit.date: limit for limit in reversed(row.limits)}
    return next((found[one] for one in (*days, row.as_of) if one in found and one >= row.as_of), None)


def _if(limit: Limit, as_of: date) -> str:
    return gettext("only if %(condition)s") % {"condition": condition(limit.if_ or "", as_of)}


def stop(row: EntryRow) -> str:
    """When this athlete stops, beyond the rule for everybody; with the pain limit of their own damage."""
    words = str(STOPS[call_of(row)])
    limit = _pain_limit(row)
    if limit is None or call_of(row) not in ("protected", "only-if"):
        return words
    return gettext("%(stop)s or pain passes %(n)d of 10") % {"stop": words, "n": limit}


def _pain_limit(row: EntryRow) -> int | None:
    found = [r.numbers.get("pain_limit") for r in (row.entry.reasons if row.entry else ())]
    known = [int(n) for n in found if isinstance(n, (int, float))]
    return min(known, default=None)


def stop_rule() -> list[str]:
    """The rule that holds for everybody, and who decides."""
    return [
        gettext(
            "Stop at once when anything burns, opens, weeps or bleeds; no more tries that day on that site."
        ),
        gettext(
            "Tape is for skin only: see the event's own rules on tape and agents. Nothing new from here on."
        ),
        gettext(
            "Red, warm, swollen, throbbing, pus, fever or a finger that cannot bend: no climbing, a doctor today."
        ),
    ]
