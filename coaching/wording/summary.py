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
from coaching.sheets.values import EventTable
from coaching.usecases.hand_over import SquadSummary, Summary
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
HEAD = _("Skin of the hands only. Told by athlete and coach; no diagnosis, and no forecast in it.")
SPARED = frozenset({"protected", "not-those-holds", "off"})
"""Verdicts that whoever is told neither answers nor damage does not hear apart."""


def summary_of(found: Summary) -> Paper:
    """One A4. The athlete stands as a code; a line is left for the name where the reader's rules want it."""
    page = _page(found)
    return papers.paper(page.title, found.known_at, found.timezone, [page])


def squad_summary_of(found: SquadSummary) -> Paper:
    """A table of everybody on the first page, then a page of each."""
    title = gettext("Skin, %(first)s to %(last)s %(year)s: the squad") % _span(found.first, found.last)
    none = papers.not_shared()
    rows = tuple(
        (one.athlete.code, *(str(n) if n else "–" for n in _counts(one).values()),
         none if one.damage is None else str(len(one.damage)),
         none if one.answered is None else str(one.answered))
        for one in found.athletes
    )  # fmt: skip
    heads = (
        gettext("code"), gettext("days as planned"), gettext("protected or without some holds"),
        gettext("not available"), gettext("not known"), gettext("limits not shared"), gettext("no verdict kept"),
        gettext("problems"), gettext("mornings answered"),
    )  # fmt: skip
    lead = (
        papers.as_known(found.known_at, found.timezone),
        str(HEAD),
        *([left] if (left := members_not_shared(found.not_shared)) else []),
    )
    first = PaperPage(title, lead, ((Part("", table=Table(heads, rows)),),), 11)
    return papers.paper(title, found.known_at, found.timezone, [first, *map(_page, found.athletes)])


def squad_table_of(found: SquadSummary) -> EventTable:
    """One line an athlete for a spreadsheet; an empty cell is not shared, never nought."""
    head = (
        "athlete", "first_day", "last_day", "days_as_planned", "days_modified", "days_not_available", "days_not_known",
        "days_limits_not_shared", "days_no_verdict", "problems", "problems_not_sound", "mornings_answered", "days_on",
    )  # fmt: skip
    rows = tuple(
        (one.athlete.code, one.first.isoformat(), one.last.isoformat(), *_counts(one).values(),
         None if one.damage is None else len(one.damage),
         None if one.damage is None else sum(told.sound_on is None for told in one.damage),
         one.answered, None if one.days_on is None else sum(days for _, days, _ in one.days_on))
        for one in found.athletes
    )  # fmt: skip
    return EventTable("summary", head, rows, found.known_at)


def members_not_shared(n: int) -> str:
    """How many of the squad share no level, or nothing; the same words as under the morning list."""
    if not n:
        return ""
    return ngettext(
        "%(n)s member shares no level with you and is not listed.",
        "%(n)s members share no level with you and are not listed.",
        n,
    ) % {"n": n}


def _span(first: date, last: date) -> dict[str, object]:
    return {"first": event_day(first), "last": event_day(last), "year": last.year}


def _page(found: Summary) -> PaperPage:
    title = gettext("Skin, %(first)s to %(last)s %(year)s: %(code)s") % {
        **_span(found.first, found.last), "code": found.athlete.code,
    }  # fmt: skip
    lead = (papers.as_known(found.known_at, found.timezone), str(HEAD))
    rows = ((_who(found), _days(found)), (_problems(found),), (_exposure(found), _care(found)), (_how(found),))
    return PaperPage(title, lead, rows, 12.5)


def _who(found: Summary) -> Part:
    age = gettext("not known") if found.age is None else str(found.age)
    lines = (
        Line(gettext("Code"), found.athlete.code),
        Line(gettext("Name, where the rules want it"), blank=True),
        Line(gettext("Age"), age),
        Line(gettext("Assessed by"), blank=True),
    )
    return Part(gettext("Who"), lines)


def _counts(found: Summary) -> dict[str, int]:
    """Days by what was concluded on each; a day without a conclusion is said to be one."""
    withheld = not {"damage", "checkins"} & found.athlete.shared
    counts = Counter(
        "withheld" if withheld and code in SPARED else COUNTED_AS[code] for code in found.verdicts.values()
    )
    whole = (found.last - found.first).days + 1
    return {code: counts[code] for code in COUNTS} | {"none": whole - len(found.verdicts)}


def _days(found: Summary) -> Part:
    counts, whole = _counts(found), (found.last - found.first).days + 1
    lines = [Line(str(words), days_count(counts[code])) for code, words in COUNTS.items() if counts[code]]
    if counts["none"]:
        lines.append(Line(gettext("no verdict kept"), days_count(counts["none"])))
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
