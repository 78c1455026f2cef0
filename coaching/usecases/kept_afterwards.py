"""Forecasts for a squad without a past here: made afterwards, kept as that, and shown as that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from athletes.records import access, histories
from athletes.records.histories_arrays import arrays
from coaching.ledger import kept
from coaching.ledger.kept import KeptRow
from coaching.science import versions
from coaching.usecases import clock, keeping, window
from coaching.usecases.ahead import days_ahead

AHEAD_DAYS = 15
EVERY_D, EVENINGS = 6, 9
"""Evenings lie six days apart, so that each day of the week has its turn."""


def compute_afterwards(now: datetime, evenings: int = EVENINGS) -> int:
    """Forecasts as they would have been made on past evenings for a squad without a past here.

    They are kept as computed afterwards and shown as that; none takes the place of one that was shown. They read
    what was dated up to each evening, and the plan. Returns how many there are.
    """
    everybody = sorted(access.refs_visible(access.OPERATOR(now.date())), key=lambda ref: ref.id)
    by_day: dict[date, list[int]] = {}
    for ref in everybody:
        by_day.setdefault(clock.local_day(now, ref.timezone), []).append(ref.id)
    count = 0
    for today, ids in by_day.items():
        for n in range(evenings, 0, -1):
            rows = _afterwards(ids, today - timedelta(days=EVERY_D * n))
            kept.keep(rows, now, afterwards=True)
            count += len(rows)
    return count


def _afterwards(ids: Sequence[int], evening: date) -> list[KeptRow]:
    """By the same models as a conclusion of that evening, without what only rules and pages need."""
    found = histories.facts(ids, evening)
    known = [i for i in sorted(found) if found[i].checkins or found[i].sessions]
    if not known:
        return []
    model = versions.get(versions.CURRENT)
    past_days = window.past_days(evening)
    made = arrays([replace(found[i], entries=()) for i in known], evening, past_days=past_days, ahead_days=AHEAD_DAYS)
    _, state = model.filter(made.course)
    chance = model.chance(made.course, made.episodes, state=state, first=made.course.origin)
    ahead = days_ahead(model, made, state, chance)
    return [
        row
        for athlete_id, days in zip(known, ahead, strict=True)
        for row in keeping.of_days(athlete_id, evening, model.version, days)
    ]
