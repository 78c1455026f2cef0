"""The event page in the words of the printed sheet."""

from __future__ import annotations

from collections import Counter
from datetime import date

from django.utils.translation import get_language, gettext, ngettext

from coaching.sheets.values import EventSheet, SheetAir, SheetRow, SpotOnHand
from coaching.usecases.shown import AthleteShown, DamageShown, MarkShown
from coaching.usecases.shown_event import EntryRow, EventPage
from coaching.wording import (
    calls,
    care,
    cautions,
    deadlines,
    event_words,
    levels,
    overruled,
    sites,
    trial_results,
    unknowns,
)
from coaching.wording.dates import event_day, weekday
from coaching.wording.sentences import series

MOST_PLACES = 3
MOST_LOOKS = 10


def sheet_of(page: EventPage) -> EventSheet:
    """Every word and figure of the sheet, in the reader's language."""
    event, known = page.event, event_words.known_at(page)
    return EventSheet(
        title=gettext("%(event)s, %(days)s") % {"event": event.name, "days": event_words.event_days(event)},
        language=(get_language() or "en").split("-")[0],
        known_at=page.known_at,
        lead=tuple(_lead(page, known)),
        counts=counts(page),
        caution=gettext("%(skin)s No telephone numbers on this sheet.") % {"skin": cautions.plain(levels.skin_only)},
        running_foot=gettext("%(event)s. %(known)s %(skin)s") % {
            "event": event.name, "known": known, "skin": levels.skin_only(),
        },
        air=_air(page),
        rows=tuple(_row(row, page) for row in page.rows),
        looks=tuple(_looks(page)),
        stop_rule=tuple(cautions.lines(calls.stop_rule)),
        words=_heads(page),
    )  # fmt: skip


def _lead(page: EventPage, known: str) -> list[str]:
    event = page.event
    said = [
        f"{event_words.what_and_where(event, page.place, page.surface)}. {event_words.zone(event)}",
        event_words.closes(event, page.as_of),
        gettext("%(known)s Calls are for %(day)s.") % {"known": known, "day": event_day(page.as_of)},
        event_words.not_shared(page.not_shared),
    ]
    return [line for line in said if line]


def counts(page: EventPage) -> str:
    """ "12 to start: 8 may climb, 2 protected, 1 only if, 1 not known"."""
    found = Counter(calls.call_of(row) for row in page.running)
    said = [str(words) % {"n": found[code]} for code, words in calls.COUNTED.items() if found[code]]
    if not said:
        return gettext("Nobody to start.")
    return gettext("%(n)d to start: %(calls)s.") % {"n": len(page.running), "calls": ", ".join(said)}


def _heads(page: EventPage) -> dict[str, str]:
    return {
        "who": gettext("athlete, call, entry"),
        "hands": gettext("palms"),
        "where": gettext("where, what"),
        "protect": gettext("protect"),
        "most": gettext("at most, stop, look"),
        "hand": gettext("by hand"),
        "left": gettext("left hand"),
        "right": gettext("right hand"),
        "looks": gettext("Looks, in the order of time"),
        "stop": gettext("Stop rule for everybody"),
        "notes": gettext("Notes"),
        "page": gettext("page %(n)s of %(of)s"),
        "lost": gettext(
            "□ stands for a letter that this print-out cannot draw; the code beside it names the athlete."
        ),
    }


def _air(page: EventPage) -> SheetAir:
    air = page.air
    days = event_words.air_days(air, page.as_of, page.units)
    shown = tuple((day.day, day.hours, day.lines if n == 0 else day.lines[-1:]) for n, day in enumerate(days))
    notes = [event_words.against_home(air, page.units), event_words.air_source(air, page.as_of)]
    if len(shown) > event_words.DAYS_IN_FULL:
        notes.append(gettext("More days on the event's page."))
    return SheetAir(gettext("Air there by the hour"), shown[: event_words.DAYS_IN_FULL], tuple(notes))


def _row(row: EntryRow, page: EventPage) -> SheetRow:
    found, code = row.athlete, calls.call_of(row)
    return SheetRow(
        code=found.code,
        name=found.name,
        level=row.level or "",
        call=calls.call(code),
        call_note="; ".join(filter(None, (calls.call_note(row, page.as_of), *overruled.notes(found.steps)))),
        entry=tuple(entry_lines(row, page.as_of)),
        where=tuple(where_lines(row)),
        protect=calls.protect(row, page.event),
        most=calls.most(row, page.event),
        stop=calls.stop(row),
        look=calls.look_when(row, page.as_of),
        spots=_spots(found),
        hands_note=_hands_note(row),
        own_trials=_own_words(row, page),
    )


def _own_words(row: EntryRow, page: EventPage) -> str:
    """What the athlete's own trials said, of those who share their check-ins and are to start."""
    return "" if row.status == "withdrawn" else trial_results.own_words(page.own_words.get(row.athlete.code, {}))


def entry_lines(row: EntryRow, as_of: date) -> list[str]:
    """Status and level; facts that no conclusion covers yet are said."""
    level = levels.level_by(row.entry, as_of) if row.entry else ""
    status = str(calls.STATUSES[row.status])
    said = [gettext("%(status)s; %(level)s") % {"status": status, "level": level} if level else status]
    if row.athlete.stale:
        said.append(gettext("newer facts not counted yet"))
    return said


def _unsound(row: AthleteShown) -> list[DamageShown]:
    return [d for d in row.picture.damage if d.stage != "sound"] if row.picture else []


def _marks(row: AthleteShown) -> list[MarkShown]:
    hurt = {d.site for d in _unsound(row)}
    return [m for m in row.picture.marks if m.site not in hurt] if row.picture else []


def where_lines(row: EntryRow) -> list[tuple[str, str]]:
    """At most three places in words; nothing assumed where nobody answered or nothing is shared."""
    found = row.athlete
    if row.status == "withdrawn":
        return [("", "")]
    states = [(sites.site(d.site), _damage(d, found.as_of)) for d in _unsound(found)]
    states += [(sites.site(m.site), str(care.MARKS[m.mark])) for m in _marks(found)]
    said = _together(states[:MOST_PLACES])
    if len(states) > MOST_PLACES:
        more = len(states) - MOST_PLACES
        said.append(("", ngettext("and %(n)d more place", "and %(n)d more places", more) % {"n": more}))
    if found.today.may_climb == "not-known":
        said.append(("", gettext("%(known)s Nothing assumed.") % {"known": unknowns.known_until(found)}))
    return said or [("", _nothing(found))]


def places_said(row: EntryRow) -> str:
    """The same places as one phrase, for a table."""
    return "; ".join(f"{place}: {state}" if place else state for place, state in where_lines(row))


def _damage(found: DamageShown, as_of: date) -> str:
    return gettext("%(state)s, day %(n)d") % {
        "state": care.state_phrase(found.kind, found.stage), "n": (as_of - found.noticed_on).days,
    }  # fmt: skip


def _together(states: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Places in one state stand together, each state once."""
    found: dict[str, list[str]] = {}
    for place, state in states:
        found.setdefault(state, []).append(place)
    return [("; ".join(places), state) for state, places in found.items()]


def _nothing(row: AthleteShown) -> str:
    if not {"damage", "checkins"} <= row.shared:
        return gettext("not shared with you")
    return gettext("nothing named") if row.computed_at else gettext("not computed yet")


def _spots(row: AthleteShown) -> tuple[SpotOnHand, ...]:
    damage = [
        SpotOnHand(d.site, d.stage, d.kind, f"{sites.site(d.site)}: {care.state_phrase(d.kind, d.stage)}")
        for d in _unsound(row)
    ]
    marks = [
        SpotOnHand(m.site, m.mark, "", f"{sites.site(m.site)}: {care.MARKS[m.mark]}") for m in _marks(row)
    ]
    return (*damage, *marks)


def _hands_note(row: EntryRow) -> str:
    if row.status == "withdrawn" or not {"damage", "checkins"} <= row.athlete.shared:
        return ""
    return gettext("not known") if row.athlete.today.may_climb == "not-known" else gettext("no mark")


def _looks(page: EventPage) -> list[tuple[str, str]]:
    """(day, names and what) of everybody's looks: those of one day and kind stand together."""
    found: dict[tuple[date, str], list[str]] = {}
    for row in page.running:
        for look in calls.looks(row):
            found.setdefault((look.latest, str(deadlines.KINDS[look.kind])), []).append(row.athlete.name)
    said = [
        (weekday(when, page.as_of), _who_looks(names, what)) for (when, what), names in sorted(found.items())
    ]
    if not said:
        return [("", gettext("No look is planned, as far as it is shared with you."))]
    more = len(said) - MOST_LOOKS
    rest = [("", gettext("and %(n)d more, on the event's page") % {"n": more})] if more > 0 else []
    return [*said[:MOST_LOOKS], *rest]


def _who_looks(names: list[str], what: str) -> str:
    return gettext("%(names)s: %(what)s") % {"names": series(dict.fromkeys(names)), "what": what}
