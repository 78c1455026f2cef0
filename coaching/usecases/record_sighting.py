"""Store what a coach or a medical person saw on the athlete's hands."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from athletes.records import access_writing, writes
from athletes.records.access import AthleteRef
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.storing import not_to_come, storing
from coaching.usecases.told import Told


def record_sighting(viewer: Viewer, athlete_code: str, values: Mapping[str, Any], now: datetime | None = None) -> Told:
    """`values` are the columns of sightings.csv but for `by`, which is the viewer's role. Raises NotFound for whoever
    may not, and BadInput.
    """
    at = now or clock.now()
    athlete = may(viewer, athlete_code)
    not_to_come("local_date", values["local_date"], athlete, at)
    by = access_writing.role_over(viewer, athlete, "damage")
    with storing([athlete.id], at):
        key = writes.store_sighting(athlete_id=athlete.id, values={**values, "by": by})
    return Told(athlete, key)


def may(viewer: Viewer, athlete_code: str) -> AthleteRef:
    """The athlete. Raises NotFound for whoever may not."""
    return access_writing.athlete_to_write(viewer, athlete_code, "damage", access_writing.TEAM, own=False)
