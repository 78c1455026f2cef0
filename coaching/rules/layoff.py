"""Weeks away from climbing: skin grows soft and ridged, and tears on return. Common practice, no source."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules.facts import AthleteFacts

LAYOFF_DAYS = 14
RECENT_DAYS = 14


@dataclass(frozen=True)
class Layoff:
    days: int
    back_on: date | None  # first day of climbing after it; None: still away


def latest(facts: AthleteFacts, as_of: date) -> Layoff | None:
    """The last gap of two weeks or more, if it still goes on or ended within two weeks.

    A gap without sessions counts where the athlete answered or was away in it: no log alone is not known.
    """
    climbed = sorted(
        {one.day for one in facts.sessions if _climbing(one.planned, one.minutes, one.hard_tries)}
    )
    climbed = [day for day in climbed if day <= as_of]
    ends: list[tuple[date, date, date | None]] = [
        (before, after, after) for before, after in zip(climbed, climbed[1:], strict=False)
    ]
    if climbed:
        ends.append((climbed[-1], as_of + timedelta(days=1), None))
    for start, end, back_on in reversed(ends):
        days = (end - start).days - 1
        if days >= LAYOFF_DAYS and (as_of - end).days <= RECENT_DAYS and _known(facts, start, end):
            return Layoff(days, back_on)
    return None


def _climbing(planned: bool, minutes: float | None, hard_tries: int | None) -> bool:
    return not planned and ((minutes or 0) > 0 or (hard_tries or 0) > 0)


def _known(facts: AthleteFacts, start: date, end: date) -> bool:
    answered = any(start < one.day < end for one in facts.checkins)
    return answered or any(one.first_day < end and one.last_day > start for one in facts.away)
