"""Every forecast that is shown is kept, so that it can be scored when its day has come."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from coaching.ledger.kept import KeptRow
from coaching.rules.conclusions import AthleteConclusion
from coaching.rules.facts import AthleteFacts
from coaching.usecases.ahead import HORIZONS_D, DayAhead

STOPPED = ("today", "emergency")
"""Medical grades beside which no number is shown."""


def forecasts(
    athlete_id: int,
    facts: AthleteFacts,
    said: AthleteConclusion,
    ahead: Mapping[int, DayAhead],
    at: tuple[date, str, Mapping[str, int]],
) -> tuple[KeptRow, ...]:
    """What is shown of one athlete on one day; `at`: the day, the model's id, keys of events by code.

    Nothing where a doctor comes first; no event whose level is not known, because its chance is not shown either.
    """
    if said.medical in STOPPED:
        return ()
    return (*of_days(athlete_id, at[0], at[1], ahead), *_events(athlete_id, facts, said, ahead, at))


def of_days(athlete_id: int, as_of: date, model: str, ahead: Mapping[int, DayAhead]) -> Iterator[KeptRow]:
    """Forecasts of days as such, one and two weeks ahead."""
    for days in HORIZONS_D:
        if days in ahead:
            day, said = as_of + timedelta(days=days), ahead[days]
            told = (said.reserve_pt, said.dampness_pt)
            yield KeptRow(athlete_id, as_of, day, day, model, said.p, said.low, said.high, said.p_skin, told)


def _events(
    athlete_id: int,
    facts: AthleteFacts,
    said: AthleteConclusion,
    ahead: Mapping[int, DayAhead],
    at: tuple[date, str, Mapping[str, int]],
) -> Iterator[KeptRow]:
    as_of, model, keys = at
    levels = {entry.event_id: entry for entry in said.entries}
    for fact in facts.entries:
        entry, first = levels.get(fact.event_id), max(fact.first_day, as_of)
        day = ahead.get((first - as_of).days)
        if entry is None or entry.level == "not-known" or day is None or fact.event_id not in keys:
            continue
        until = first if fact.kind == "trip" else max(fact.last_day, first)
        told = (day.reserve_pt, day.dampness_pt)
        chances = (entry.p, entry.low, entry.high, day.p_skin)
        yield KeptRow(athlete_id, as_of, first, until, model, *chances, told, keys[fact.event_id])
