"""Facts of athletes -> arrays in fixed units, converted here and nowhere else. Unknown stays NaN.

Reports of one day may stand in any order and may be repeated: of the answers to one question the last made
counts, of two looks at one site on one day the worse, of sessions with one number the fuller, of equal care
rows one.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime
from operator import attrgetter
from typing import NamedTuple

import numpy as np

from athletes.records.histories_air import humidity_pct
from athletes.records.histories_care import care_arrays, care_rows
from athletes.records.histories_episodes import episode_arrays, target_arrays
from athletes.records.histories_grid import Grid
from athletes.records.histories_load import (
    SessionArrays,
    done_loads,
    known_rest,
    planned_load,
    session_arrays,
    trip_load,
)
from athletes.records.histories_tried import tried_agents
from coaching.rules.facts import AthleteFacts, CheckInFact
from coaching.science.inputs import Course, Episodes, Floats, Targets

PAST_DAYS = 150
LEAST_AHEAD_DAYS = 14
MOST_AHEAD_DAYS = 366
CHANNELS = ("reserve", "dampness", "hardness", "agent_used", "rating_step")
ANSWERS = attrgetter(*CHANNELS)
NEVER = datetime.min.replace(tzinfo=UTC)


class Arrays(NamedTuple):
    """The arrays of a batch, and what their rows are: codes of athletes, events and episodes."""

    course: Course
    episodes: Episodes
    targets: Targets
    athlete_ids: tuple[str, ...]
    event_ids: tuple[str, ...]  # of each target; its athlete is `targets.athlete`
    episode_ids: tuple[str, ...]


def arrays(
    facts: Sequence[AthleteFacts], as_of: date, past_days: int = PAST_DAYS, ahead_days: int | None = None
) -> Arrays:
    """Arrays of a batch from `past_days` before `as_of` to `ahead_days` after it.

    Without `ahead_days` the grid reaches the last day of the last event. Entries whose first day lies beyond
    the grid and episodes that were last seen sound are left out.
    """
    ahead = _reach(facts, as_of) if ahead_days is None else ahead_days
    grid = Grid(len(facts), past_days + 1 + ahead, as_of.toordinal() - past_days, past_days)
    episodes, episode_index = episode_arrays(facts, grid)
    targets, event_ids = target_arrays(facts, grid, episode_index)
    athlete_ids = tuple(one.athlete_id for one in facts)
    episode_ids = tuple(group[0].episode_id for _, group in episode_index)
    return Arrays(_course(facts, grid), episodes, targets, athlete_ids, event_ids, episode_ids)


def _reach(facts: Sequence[AthleteFacts], as_of: date) -> int:
    last = max((entry.last_day for one in facts for entry in one.entries), default=as_of)
    return min(max((last - as_of).days, LEAST_AHEAD_DAYS), MOST_AHEAD_DAYS)


def _course(facts: Sequence[AthleteFacts], grid: Grid) -> Course:
    ratings = _ratings(facts, grid)
    answered = ~np.isnan(ratings["answered"])
    sessions = session_arrays(facts, grid)
    rows = care_rows(facts, grid)
    idle = known_rest(facts, grid, rows)
    load_done, strain = done_loads(grid, sessions, answered, idle.done)
    plan = planned_load(facts, grid, sessions, idle)
    care = care_arrays(rows, grid, ratings["agent_used"])
    temp_c, rh_pct = _air(facts, grid, sessions)
    return Course(
        first_ordinal=grid.first_ordinal,
        origin=grid.origin,
        reserve_pt=ratings["reserve"],
        dampness_pt=ratings["dampness"],
        hardness_pt=ratings["hardness"],
        half_step_pt=np.where(ratings["rating_step"] == 2, 1.0, 0.5),
        limited=sessions.limited,
        load_done_slu=load_done,
        load_plan_slu=plan,
        load_trip_slu=trip_load(facts, grid, plan),
        strain_done_au=strain,
        dose_done=care.dose_done,
        dose_plan=care.dose_plan,
        filed_done=care.filed,
        moist_done=care.moist,
        temp_c=temp_c,
        rh_pct=rh_pct,
        answered=answered,
        tried=tried_agents(facts, grid),
    )


def _written(checkin: CheckInFact) -> tuple[date, datetime]:
    return checkin.day, checkin.made_at or NEVER


def _in_writing_order(checkins: Sequence[CheckInFact]) -> Sequence[CheckInFact]:
    """By day and time; where two were made at one time, by what they say."""
    if len({_written(one) for one in checkins}) == len(checkins):
        return sorted(checkins, key=_written)
    return sorted(checkins, key=lambda one: (*_written(one), repr(one)))


def _ratings(facts: Sequence[AthleteFacts], grid: Grid) -> dict[str, Floats]:
    """One array a channel, the last write of a day winning; `answered` is 1 where one told of the skin."""
    place: list[tuple[int, int]] = []
    said: list[tuple[object, ...]] = []
    for row, one in enumerate(facts):
        for checkin in _in_writing_order(one.checkins):
            column = grid.column(checkin.day)
            if 0 <= column <= grid.origin:
                place.append((row, column))
                said.append((*ANSWERS(checkin), 1.0 if checkin.says_skin else None))
    found = {name: grid.nan() for name in (*CHANNELS, "answered")}
    where = np.array(place, dtype=np.int64).reshape(len(place), 2)
    values = np.array(said, dtype=np.float64).reshape(len(said), len(found))  # None becomes NaN
    for channel, given in zip(found.values(), values.T, strict=True):
        known = ~np.isnan(given)
        channel[where[known, 0], where[known, 1]] = given[known]  # of one place the last stays
    return found


def _air(facts: Sequence[AthleteFacts], grid: Grid, sessions: SessionArrays) -> tuple[Floats, Floats]:
    """Air at the place of the day's session, a done one before a planned; on event days ahead the venue's."""
    temp_c, rh_pct = grid.nan(), grid.nan()
    for row, one in enumerate(facts):
        for entry in one.entries:
            air, first, last = entry.air, grid.column(entry.first_day), grid.column(entry.last_day)
            if air.venue_temp_c is not None and air.venue_dew_point_c is not None:
                days = slice(max(first, grid.origin + 1), max(last + 1, 0))
                temp_c[row, days] = air.venue_temp_c
                rh_pct[row, days] = humidity_pct(air.venue_temp_c, air.venue_dew_point_c)
    for row, column, session in sessions.places:
        temp_c[row, column] = session.air_temp_c
        rh_pct[row, column] = np.nan if session.air_rh_pct is None else session.air_rh_pct
    return temp_c, rh_pct
