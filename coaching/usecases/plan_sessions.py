"""Plan the squad's sessions: the days ahead by athlete, one session for several people and days, days taken off again.

Whoever shares no check-ins is named and not planned for: a plan that nobody may see would be held against nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from athletes.records import queries_air, queries_squad, row_scope, writes
from athletes.records.errors import NotFound
from athletes.records.queries_air import PlaceLine
from athletes.records.queries_squad import DayPlanned, Member
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.storing import storing

AHEAD_DAYS = 14
MOST_DAYS = 60
WHY_OFF = "taken off by the coach"


@dataclass(frozen=True)
class SessionsPage:
    """The fortnight from `days[0]`: what is planned, and which days events and absences take."""

    days: tuple[date, ...]
    today: date
    members: tuple[Member, ...]  # who share their check-ins
    others: tuple[Member, ...]
    planned: Mapping[tuple[int, date], DayPlanned]
    taken: Mapping[tuple[int, date], str]
    places: tuple[PlaceLine, ...]


def sessions_page(viewer: Viewer, first: date | None = None) -> SessionsPage:
    """A fortnight, from today unless told otherwise. Raises NotFound for whoever coaches no squad."""
    everybody = _members(viewer)
    members = tuple(one for one in everybody if "checkins" in one.shared)
    start = first or viewer.today
    days = tuple(start + timedelta(days=n) for n in range(AHEAD_DAYS))
    ids = [one.id for one in members]
    return SessionsPage(
        days, viewer.today, members, tuple(one for one in everybody if "checkins" not in one.shared),
        queries_squad.planned(ids, days[0], days[-1]), queries_squad.taken_days(ids, days[0], days[-1]),
        queries_air.places(viewer, queries_air.people(viewer)),
    )  # fmt: skip


def plan_sessions(viewer: Viewer, codes: Sequence[str], days: Sequence[date], values: Mapping[str, Any]) -> int:
    """Plan one session a day for each of them; how many sessions. One planned that day already gives way, with a
    trace. `values` are the columns of sessions.csv but for athlete, day and `planned`. Raises NotFound and BadInput.
    """
    chosen, at = _chosen(viewer, codes, days), clock.now()
    with storing([one.id for one in chosen], at):
        for one in chosen:
            for day in days:
                told = {**values, "local_date": day, "planned": True}
                writes.store_session(athlete_id=one.id, values=told, made_at=at, by=viewer.account_id)
    return len(chosen) * len(days)


def take_off(viewer: Viewer, codes: Sequence[str], days: Sequence[date]) -> int:
    """Leave nothing of what is planned for them on these days, with a trace; how many sessions. Raises NotFound."""
    chosen, at = _chosen(viewer, codes, days), clock.now()
    with storing([one.id for one in chosen], at):
        return sum(
            writes.cut_planned(
                athlete_id=one.id, local_date=day, share=0, made_at=at, by=viewer.account_id, why=WHY_OFF
            )
            for one in chosen
            for day in days
        )


def _chosen(viewer: Viewer, codes: Sequence[str], days: Sequence[date]) -> list[Member]:
    sharing = {one.code: one for one in _members(viewer) if "checkins" in one.shared}
    if not codes or not 0 < len(days) <= MOST_DAYS or not all(code in sharing for code in codes):
        raise NotFound
    return [sharing[code] for code in codes]


def _members(viewer: Viewer) -> tuple[Member, ...]:
    squads = queries_squad.squads_run(viewer)
    if not squads:
        raise NotFound
    found = queries_squad.roster(viewer, squads)
    row_scope.let_through(one.id for one in found if "checkins" in one.shared)
    return found
