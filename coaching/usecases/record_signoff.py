"""Store that a medical person clears a form of care for an athlete."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from athletes.records import writes_team
from athletes.records.access import AthleteRef
from athletes.records.access_writing import MEDICAL, athlete_to_write
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.storing import not_to_come, storing
from coaching.usecases.told import Told


def record_signoff(viewer: Viewer, athlete_code: str, values: Mapping[str, Any], now: datetime | None = None) -> Told:
    """`values` are form, given_on and until. Raises NotFound for whoever may not, and BadInput."""
    at = now or clock.now()
    athlete = may(viewer, athlete_code)
    not_to_come("given_on", values["given_on"], athlete, at)
    with storing([athlete.id], at):
        key = writes_team.store_signoff(athlete_id=athlete.id, values={**values, "by": "medical"})
    return Told(athlete, key)


def may(viewer: Viewer, athlete_code: str) -> AthleteRef:
    """The athlete. Raises NotFound for whoever may not."""
    return athlete_to_write(viewer, athlete_code, "checkins", MEDICAL, own=False)
