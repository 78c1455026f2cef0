"""Store a session: what was done comes from the athlete, what is planned from the team."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from athletes.records import writes
from athletes.records.access_writing import NOBODY, TEAM, athlete_to_write
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.storing import not_to_come, storing
from coaching.usecases.told import Told


def record_session(
    viewer: Viewer,
    athlete_code: str,
    values: Mapping[str, Any],
    now: datetime | None = None,
    last_day: date | None = None,
) -> Told:
    """`values` are the columns of sessions.csv; `last_day` is the last that has begun where the athlete is, if not at
    home. Raises NotFound for whoever may not, and BadInput.
    """
    at, planned = now or clock.now(), values["planned"]
    athlete = athlete_to_write(viewer, athlete_code, "checkins", TEAM if planned else NOBODY, own=not planned)
    if not planned and (last_day is None or values["local_date"] > last_day):
        not_to_come("local_date", values["local_date"], athlete, at)
    with storing([athlete.id], at):
        corrected = writes.store_session(athlete_id=athlete.id, values=values, made_at=at, by=viewer.account_id)
    return Told(athlete, corrected=corrected)


def may(viewer: Viewer, athlete_code: str, values: Mapping[str, Any]) -> None:
    """Raises NotFound as `record_session` would."""
    planned = values["planned"]
    athlete_to_write(viewer, athlete_code, "checkins", TEAM if planned else NOBODY, own=not planned)
