"""What the check-in page starts from."""

from __future__ import annotations

from athletes.records import access, queries
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.shown import CheckInForm


def checkin_form(viewer: Viewer, athlete_code: str | None = None) -> CheckInForm:
    """The form of the viewer's own day, or of the ward's; raises NotFound where neither is theirs."""
    athlete = access.athlete_to_check_in(viewer, athlete_code)
    day = clock.local_day(clock.now(), queries.zones_of([athlete.id])[athlete.id])
    return CheckInForm(
        athlete_code=athlete.code,
        athlete_name=athlete.name,
        day=day,
        already=queries.checkin_of_day(viewer, athlete.id, day),
        before=queries.last_checkin_before(viewer, athlete.id, day),
        episodes=queries.open_episodes(viewer, athlete.id, day),
        dominant_hand=athlete.dominant_hand,
        timezone=athlete.timezone,
    )
