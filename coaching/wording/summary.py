"""A month of one athlete for a federation or a medical person: days, problems, exposure, and how it is known.

The counts follow the shape of the consensus statement on recording injury in sport (Bahr et al. 2020, Br J Sports Med
54:372-389): each problem by onset, side, place, kind, first or again, days; no forecast is in it.
"""

from __future__ import annotations

from collections import Counter
from datetime import date

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from athletes.records.queries_hand_over import DamageTold
from coaching.sheets.paper_values import Line, Paper, PaperPage, Part, Table
from coaching.usecases.hand_over import Summary
from coaching.wording import care, overruled, papers
from coaching.wording.dates import days_count, event_day
from coaching.wording.sharing import classes_seen
from coaching.wording.sites import site

COUNTED_AS = {
    "free": "available", "protected": "modified", "not-those-holds": "modified", "off": "unavailable",
    "medical": "unavailable", "not-known": "not-known",
}  # fmt: skip
COUNTS = {
    "available": _("available as planned"), "modified": _("available, protected or without some holds"),
    "unavailable": _("not available"), "not-known": _("not known: no fresh answer or look"),
    "withheld": _("with limits, or no load; which is not shared"),
}  # fmt: skip
SPARED = frozenset({"protected", "not-those-holds", "off"})
"""Verdicts that whoever is told neither answers nor damage does not hear apart."""


def summary_of(found: Summary) -> Paper:
    """One A4. The athlete stands as a code; a line is left for the name where the reader's rules want it."""
    title = gettext("Skin, %(first)s to %(last)s %(year)s: %(code)s") % {
        "first": event_day(found.first), "last": event_day(found.last), "year": found.last.year,
        "code": found.athlete.code,
    }  # fmt: skip
    lead = (
        papers.as_known(found.known_at, found.timezone),
        gettext("Skin of the hands only. Told by athlete and coach; no diagnosis, and no forecast in it."),
    )
    rows = (
        (_who(found), _days(found)),
        (_problems(found),),
        (_exposure(found), _care(found)),
        (_how(found),),
    )
    return papers.paper(title, found.known_at, found.timezone, [PaperPage(title, lead, rows, 12.5)])


def _who(found: Summary) -> Part:
    age = gettext("not known") if found.about.age is None else str(found.about.age)
    lines = (
        Line(gettext("Code"), found.athlete.code),
        Line(gettext("Name, where the rules want it"), blank=True),
        Line(gettext("Age"), age),
        Line(gettext("Assessed by"), blank=True),
    )
    return Part(gettext("Who"), lines)


def _days(found: Summary) -> Part:
    """Days counted from what was concluded on each; a day without a conclusion is said to be one."""
    withheld = not {"damage", "checkins"} & found.athlete.shared
    counts = Counter(
        "withheld" if withheld and code in SPARED else COUNTED_AS[code] for code in found.verdicts.values()
    )
    whole = (found.last - found.first).days + 1
    lines = [Line(str(words), days_count(counts[code])) for code, words in COUNTS.items() if counts[code]]
    if whole > len(found.verdicts):
        lines.append(Line(gettext("no verdict kept"), days_count(whole - len(found.verdicts))))
    head = gettext("Training and competition, of %(days)s") % {"days": days_count(whole)}
    return Part(head, tuple(lines))


def _problems(found: Summary) -> Part:
    head = gettext("Problems")
    if found.damage is None:
        return Part(head, (Line(said=papers.not_shared()),))
    if not found.damage:
        return Part(head, (Line(said=gettext("None was told in these days.")),))
    heads = (
        gettext("noticed"), gettext("where"), gettext("what"), gettext("how it came"), gettext("first or again"),
        gettext("days until sound"),
    )  # fmt: skip
    return Part(head, table=Table(heads, tuple(_problem(one, found.last) for one in found.damage)))


def _problem(one: DamageTold, last: date) -> tuple[str, ...]:
    cause = papers.not_shared() if one.cause is None else one.cause or gettext("not told")
    again = gettext("again at this place") if one.again else gettext("first here")
    if one.sound_on is not None:
        days = days_count((one.sound_on - one.noticed_on).days)
    else:
        days = gettext("not sound after %(days)s") % {"days": days_count((last - one.noticed_on).days)}
    depth = f", {care.DEPTHS[one.depth]}" if one.depth else ""
    return event_day(one.noticed_on), site(one.site), f"{care.KINDS[one.kind]}{depth}", cause, again, days


def _exposure(found: Summary) -> Part:
    head = gettext("Days on, by surface")
    if found.days_on is None:
        return Part(head, (Line(said=papers.not_shared()),))
    lines = [
        Line(str(care.SURFACES[surface]) if surface else gettext("surface not told"), _minutes(days, minutes))
        for surface, days, minutes in found.days_on
    ]
    return Part(head, tuple(lines) or (Line(said=gettext("No session was told.")),))


def _minutes(days: int, minutes: float) -> str:
    return gettext("%(days)s, %(n)d minutes told") % {"days": days_count(days), "n": round(minutes)}


def _care(found: Summary) -> Part:
    head = gettext("Care done")
    if found.care is None:
        return Part(head, (Line(said=papers.not_shared()),))
    lines = [
        Line(care.care(one.verb, one.form), ngettext("%(n)d time", "%(n)d times", one.times) % {"n": one.times})
        for one in found.care
    ]
    lines += [Line(said=said) for said in overruled.notes(found.athlete.steps)]
    return Part(head, tuple(lines) or (Line(said=gettext("None was told.")),))


def _how(found: Summary) -> Part:
    whole = (found.last - found.first).days + 1
    lines = [
        Line(
            gettext("Method"),
            gettext("the athlete’s own answers each morning, looks at single places, sessions and care as told; a day"
                    " counts by the verdict that stood on it."),
        ),
        papers.line(
            gettext("Mornings without an answer"),
            None if found.answered is None else gettext("%(n)d of %(all)d") % {
                "n": whole - found.answered, "all": whole,
            },
        ),
        Line(
            gettext("Limits"),
            gettext("no published scale for climbers’ skin and no published rule of return exist; what was not told is"
                    " not in here."),
        ),
        Line(gettext("By consent to"), classes_seen(found.athlete.shared)),
        Line(gettext("Made with"), gettext("model %(model)s, rulebook %(rules)s") % {
            "model": found.athlete.model or "–", "rules": found.athlete.rulebook or "–",
        }),
        Line(gettext("Signed"), blank=True),
    ]  # fmt: skip
    return Part(gettext("How this is known"), tuple(lines))
