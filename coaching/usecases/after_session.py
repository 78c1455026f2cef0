"""After a session: what the page starts from, and the answers stored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from athletes.records import access, queries_air
from athletes.records.queries_own_sessions import DaySession, day_sessions
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.counting import Counted, counted_of
from coaching.usecases.record_session import record_session
from coaching.usecases.told import Told

LATE_DAYS = 14
"""Older sessions are nearly forgotten in their minutes; a coach corrects those, with a trace."""
MOST = 9


@dataclass(frozen=True)
class SessionAsked:
    """A day's session number `ordinal`: what is planned for it and what was told of it already, else None."""

    athlete_code: str
    athlete_name: str
    timezone: str
    today: date
    day: date
    ordinal: int
    planned: DaySession | None
    told: DaySession | None
    told_that_day: tuple[DaySession, ...]
    places: tuple[tuple[str, str], ...]  # (code, name)
    counted: Counted | None = None  # what was counted in session, None where nothing was

    @property
    def days(self) -> tuple[date, ...]:
        """Today and the two days before it, and the day asked for where it is an earlier one."""
        near = [self.today - timedelta(days=n) for n in range(3)]
        return tuple(near if self.day in near else [*near, self.day])

    @property
    def next_ordinal(self) -> int | None:
        """The number of one more session that day, None once there are nine."""
        used = max((one.ordinal for one in self.told_that_day), default=0)
        return used + 1 if used < MOST else None


def session_asked(
    viewer: Viewer, athlete_code: str | None = None, day: date | None = None, ordinal: int | None = None
) -> SessionAsked:
    """What to ask of one session; today's first that is not told yet unless a day or number is named.

    A day still to come or over a fortnight old gives today. Raises NotFound where the viewer has no such athlete.
    """
    ref = access.athlete_to_check_in(viewer, athlete_code)
    today = clock.local_day(clock.now(), ref.timezone)
    chosen = day if day is not None and today - timedelta(days=LATE_DAYS) <= day <= today else today
    found = day_sessions(viewer, ref.id, chosen)
    planned = {one.ordinal: one for one in found if one.planned}
    told = {one.ordinal: one for one in found if not one.planned}
    number = ordinal if ordinal is not None and 1 <= ordinal <= MOST else _first_open(planned, told)
    seen = queries_air.places(viewer, [ref])
    places = tuple((one.place.code, one.place.name) for one in seen)
    return SessionAsked(
        ref.code, ref.name, ref.timezone, today, chosen, number, planned.get(number), told.get(number),
        tuple(told.values()), places, counted_of(ref, chosen, number),
    )  # fmt: skip


def _first_open(planned: Mapping[int, DaySession], told: Mapping[int, DaySession]) -> int:
    """The first planned one not told of; else the first told one, for correcting; else number 1."""
    return next((n for n in sorted(planned) if n not in told), min(told, default=1))


def tell_session(viewer: Viewer, athlete_code: str | None, values: Mapping[str, Any]) -> Told:
    """Store what was told; `values` are the columns of sessions.csv but for `planned`. Raises NotFound, BadInput."""
    ref = access.athlete_to_check_in(viewer, athlete_code)
    return record_session(viewer, ref.code, {**values, "planned": False})
