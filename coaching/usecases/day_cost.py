"""What a session on a day costs one athlete: reserve worn, days until half is back, and the next event's chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from athletes.records import histories
from athletes.records.histories_arrays import Arrays, arrays
from coaching.rules.facts import AthleteFacts, EntryFact, SessionFact
from coaching.science import versions
from coaching.science.costs import own_pace
from coaching.science.load import SURFACE_FACTORS
from coaching.science.model import Model
from coaching.science.quantities import QUANTITIES
from coaching.science.skin import State
from coaching.usecases import learned, window
from coaching.usecases.conclude import AHEAD_DAYS
from coaching.usecases.shown_air import Cost, EventCost

MIDDLING_EFFORT = 5.0


def of_anybody(hours: float, surface: str) -> Cost | None:
    """The same for skin of which nothing is known; None where nobody said what is climbed on."""
    if not surface:
        return None
    wear, renewal = QUANTITIES["reserve_wear_pt_per_slu"], QUANTITIES["reserve_renewal_d"]
    load_slu, spread = hours * SURFACE_FACTORS[surface], float(wear.spread or 0.0)
    factor, back = float(np.exp(renewal.spread or 0.0)), float(np.log(2.0)) * renewal.default
    worn = (load_slu * (wear.default - spread), load_slu * (wear.default + spread))
    return Cost(worn, (back / factor, back * factor))


def of_athlete(athlete_id: int, today: date, day: date, surface: str, hours: Sequence[float]) -> dict[float, Cost]:
    """By length of the session in hours, from the athlete's own answers. Empty for a day that is over or too far ahead
    to compute, and where nobody said what is climbed on.

    Each session stands in the place of whatever is planned for the day, and is held against a day of rest.
    """
    lengths = sorted(set(hours))
    if not surface or not lengths or not 0 <= (day - today).days <= AHEAD_DAYS:
        return {}
    found = histories.facts([athlete_id], today).get(athlete_id)
    if found is None:
        return {}
    fit = learned.of_athletes([athlete_id], versions.CURRENT).get(athlete_id)
    model = learned.applied(versions.get(versions.CURRENT), fit)
    next_entry = _next(found, day)
    cases = [_with(found, day, surface, length, next_entry) for length in (0.0, *lengths)]
    ahead = max((day - today).days + 1, (next_entry.last_day - today).days if next_entry else 0)
    made = arrays(cases, today, past_days=window.past_days(today), ahead_days=ahead)
    estimate, state = model.filter(made.course)
    chances = _chances(model, made, state)
    morning = float(estimate.reserve_mean_pt[0, day.toordinal() - made.course.first_ordinal])
    pace = own_pace(state, model.parameters)
    costs = {}
    for row, length in enumerate(lengths, 1):
        load_slu = length * SURFACE_FACTORS[surface]
        event = None
        if next_entry is not None and chances:
            event = EventCost(next_entry.event_name, chances[0], chances[row])
        costs[length] = Cost(
            (load_slu * float(pace.wear_low_pt_per_slu[0]), load_slu * float(pace.wear_high_pt_per_slu[0])),
            (float(pace.half_back_low_d[0]), float(pace.half_back_high_d[0])),
            own=True, morning_pt=morning, event=event,
        )  # fmt: skip
    return costs


def _next(facts: AthleteFacts, day: date) -> EntryFact | None:
    """The athlete's next event after the day, near enough to be computed."""
    after = [one for one in facts.entries if one.first_day > day and (one.last_day - day).days <= AHEAD_DAYS]
    return min(after, key=lambda one: (one.first_day, one.event_id), default=None)


def _with(facts: AthleteFacts, day: date, surface: str, hours: float, entry: EntryFact | None) -> AthleteFacts:
    others = tuple(s for s in facts.sessions if not (s.planned and s.day == day))
    session = SessionFact(day, True, 60.0 * hours, MIDDLING_EFFORT, surface)
    return replace(facts, sessions=(*others, session), entries=(entry,) if entry else ())


def _chances(model: Model, made: Arrays, state: State) -> tuple[float, ...]:
    """Readiness of the one entry of each case; none without an event."""
    if not made.event_ids:
        return ()
    return tuple(float(p) for p in model.entries(made.course, made.episodes, made.targets, state=state).p)
