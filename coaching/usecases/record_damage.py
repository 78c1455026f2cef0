"""Open an episode of damage, as the athlete tells of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from athletes.records import writes
from athletes.records.access import AthleteRef
from athletes.records.access_writing import athlete_to_write
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.storing import not_to_come, storing
from coaching.usecases.told import Told


def record_damage(viewer: Viewer, athlete_code: str, values: Mapping[str, Any], now: datetime | None = None) -> Told:
    """`values` are the columns of damage.csv; the same damage of the same day is opened once. Raises NotFound for
    whoever may not, and BadInput.
    """
    at = now or clock.now()
    athlete = may(viewer, athlete_code)
    not_to_come("noticed_on", values["noticed_on"], athlete, at)
    with storing([athlete.id], at):
        code = writes.open_damage(athlete_id=athlete.id, made_at=at, by=viewer.account_id, **values)
    return Told(athlete, code)


def may(viewer: Viewer, athlete_code: str) -> AthleteRef:
    """The athlete. Raises NotFound for whoever may not."""
    return athlete_to_write(viewer, athlete_code, "damage")
