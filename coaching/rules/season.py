"""What in a season stands in its own way: seen from the calendar alone, months before skin could tell."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coaching.rules.rulebook import Rulebook

SKIN_AWAY = frozenset({"illness", "water"})
"""Absences that take the skin or the climber with them; travel to an event belongs to it."""
NEAR_DAYS = 7
"""Between two events: less than it takes for a deep split to close. Judgement, from the healing times of the model."""


@dataclass(frozen=True)
class EventSpan:
    """One event of one athlete, by its days in its own zone."""

    code: str
    name: str
    first: date
    last: date


@dataclass(frozen=True)
class AwaySpan:
    kind: str
    first: date
    last: date


@dataclass(frozen=True)
class CarePlanned:
    """A run of planned days of one form without a gap of more than a week; `known` where it was tolerated before."""

    verb: str
    form: str
    first: date
    last: date
    known: bool


@dataclass(frozen=True)
class Clash:
    """One thing that cannot be as planned, or hardly. `code`: two-events, near-events, away, first-use, stop, rough.

    `day` is the first day on which it hurts; `other` the second event, the kind of absence, or the form of care.
    """

    code: str
    event: str
    day: date
    other: str = ""
    days: int = 0


def clashes(
    events: tuple[EventSpan, ...],
    away: tuple[AwaySpan, ...],
    care: tuple[CarePlanned, ...],
    rough: tuple[date, ...],
    book: Rulebook,
) -> tuple[Clash, ...]:
    """Every clash of one athlete's season, by day. `rough` are days with a session planned on sharp rock."""
    ordered = tuple(sorted(events, key=lambda event: (event.first, event.code)))
    found = [*_pairs(ordered), *_away(ordered, away), *_care(ordered, care, book), *_rough(ordered, rough, book)]
    return tuple(sorted(found, key=lambda clash: (clash.day, clash.code, clash.event, clash.other)))


def _pairs(events: tuple[EventSpan, ...]) -> list[Clash]:
    found = []
    for n, one in enumerate(events):
        for other in events[n + 1 :]:
            gap = (other.first - one.last).days - 1
            if gap < 0:
                found.append(Clash("two-events", one.name, other.first, other.name))
            elif gap < NEAR_DAYS:
                found.append(Clash("near-events", one.name, other.first, other.name, gap))
    return found


def _away(events: tuple[EventSpan, ...], away: tuple[AwaySpan, ...]) -> list[Clash]:
    return [
        Clash("away", event.name, max(event.first, one.first), one.kind)
        for event in events
        for one in away
        if one.kind in SKIN_AWAY and one.first <= event.last and event.first <= one.last
    ]


def _care(events: tuple[EventSpan, ...], care: tuple[CarePlanned, ...], book: Rulebook) -> list[Clash]:
    """A first use inside its pause before an event, and a run that goes on after its last day. What may go on to the
    day before an event is left out: a course that pauses for the event itself is planned as one.
    """
    found = []
    for run in care:
        rule = book.form(run.form)
        after = [event for event in events if event.first >= run.first]
        if rule is None or not after:
            continue
        event = after[0]
        lead = (event.first - run.first).days
        if not run.known and 0 < rule.no_first_use_days and lead < rule.no_first_use_days:
            found.append(Clash("first-use", event.name, run.first, run.form, rule.no_first_use_days))
        if 1 < rule.stop_days and not rule.goes_on_strengths and (event.first - run.last).days < rule.stop_days:
            found.append(Clash("stop", event.name, run.last, run.form, rule.stop_days))
    return found


def _rough(events: tuple[EventSpan, ...], rough: tuple[date, ...], book: Rulebook) -> list[Clash]:
    """Sharp rock after the last day for a rough session."""
    rule = book.deadlines.get("rough-session-last")
    if rule is None:
        return []
    found = []
    for event in events:
        late = [day for day in rough if 0 < (event.first - day).days < rule.days[0]]
        found += [Clash("rough", event.name, day, "", rule.days[0]) for day in late]
    return found
