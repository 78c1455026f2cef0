"""Store a look at damage, the athlete's own or that of one of the team; and correct one."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from athletes.records import queries_damage, writes, writes_team
from athletes.records.access import AthleteRef
from athletes.records.access_writing import TEAM, athlete_to_write
from athletes.records.queries_damage import LookOnFile
from athletes.records.viewer import Viewer
from athletes.records.writes_team import Change, Stale
from coaching.usecases import clock
from coaching.usecases.storing import not_to_come, storing
from coaching.usecases.told import Told

__all__ = ["Stale", "correct_look", "may", "record_look"]


def record_look(
    viewer: Viewer, athlete_code: str, episode_id: str, values: Mapping[str, Any], now: datetime | None = None
) -> tuple[Told, LookOnFile]:
    """`values` are the columns of damage_looks.csv; a second look of a day corrects the first. Raises NotFound for
    whoever may not and for an episode that is not the athlete's, and BadInput.
    """
    at = now or clock.now()
    athlete = may(viewer, athlete_code, episode_id)
    not_to_come("local_date", values["local_date"], athlete, at)
    with storing([athlete.id], at):
        corrected = writes.add_look(
            athlete_id=athlete.id, episode_code=episode_id, made_at=at, by=viewer.account_id, **values
        )
        found = queries_damage.look_of_day(athlete, episode_id, values["local_date"])
    return Told(athlete, found.id, corrected), found


def may(viewer: Viewer, athlete_code: str, episode_id: str) -> AthleteRef:
    """The athlete, who has that episode. Raises NotFound for whoever may not."""
    athlete = athlete_to_write(viewer, athlete_code, "damage", TEAM)
    queries_damage.episode_key(athlete, episode_id)
    return athlete


def correct_look(
    viewer: Viewer, athlete_code: str, look_id: int, over: frozenset[int], values: Mapping[str, Any], why: str = ""
) -> LookOnFile:
    """The look as it stands after the correction. Raises NotFound, BadInput, and Stale where it is none of the
    versions that the caller saw.
    """
    at = clock.now()
    athlete = athlete_to_write(viewer, athlete_code, "damage", TEAM)
    queries_damage.look(athlete, look_id)
    with storing([athlete.id], at):
        change = Change(values, over, athlete.id, at, viewer.account_id, why)
        writes_team.change_look(look_id, change)
        return queries_damage.look(athlete, look_id)
