"""The athlete's plain list for today."""

from __future__ import annotations

from datetime import timedelta

from athletes.records import access, care_told, glass, queries
from athletes.records.viewer import Viewer
from coaching.usecases import clock, trial_board
from coaching.usecases.next_looks import looks_of
from coaching.usecases.showing import show
from coaching.usecases.shown import TodayList

NEW = timedelta(days=30)
"""How long the athlete is told of a look of support's on this page."""


def today_list(viewer: Viewer, athlete_code: str | None = None) -> TodayList:
    """Verdict, steps, looks and sessions of today; raises NotFound where the viewer has no such athlete."""
    ref = access.athlete_to_check_in(viewer, athlete_code)
    day = clock.local_day(clock.now(), queries.zones_of([ref.id])[ref.id])
    athlete = show(viewer, [ref])[0]
    deadlines = [d for entry in athlete.entries for d in entry.deadlines]
    return TodayList(
        athlete=athlete,
        checked_in=bool(queries.checkin_of_day(viewer, ref.id, day)),
        sessions=queries.sessions_planned(viewer, ref.id, day),
        steps_today=tuple(s for s in athlete.steps if s.date == day),
        steps_tomorrow=tuple(s for s in athlete.steps if s.date == day + timedelta(days=1)),
        glass=glass.of_athlete(ref.id, since=clock.now() - NEW),
        timezone=ref.timezone,
        told=care_told.told_on(ref.id, day),
        trial=trial_board.today(ref),
        next_looks=looks_of(viewer, ref.id, day) if "damage" in athlete.shared else (),
        looks=tuple(dict.fromkeys(d for d in deadlines if d.kind in ("look", "taped-try") and d.state != "done")),
    )
