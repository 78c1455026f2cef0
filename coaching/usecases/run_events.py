"""A coach makes an event, and says who goes. Nobody is asked what they share: an entry is the squad's own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction

from athletes.records import queries_air, queries_squad, row_scope, writes_squad, writes_team
from athletes.records.errors import NotFound
from athletes.records.queries_air import PlaceLine
from athletes.records.queries_squad import Entrant, Member
from athletes.records.viewer import Viewer
from athletes.records.writes_team import Change, Stale
from coaching.usecases import clock
from coaching.usecases.storing import storing

__all__ = ["Stale", "add_event", "enter", "entries_page", "new_event_page", "unseen_events"]


@dataclass(frozen=True)
class NewEventPage:
    """Who can be entered, the places to choose from, and the zone that most of the squad live in."""

    today: date
    members: tuple[Member, ...]
    places: tuple[PlaceLine, ...]
    zone: str


@dataclass(frozen=True)
class EntriesPage:
    """An event and everybody of the viewer's squads, entered or not."""

    code: str
    name: str
    kind: str
    first_day: date
    last_day: date
    timezone: str
    entry_deadline: datetime | None
    members: tuple[Member, ...]
    entrants: Mapping[int, Entrant]


@dataclass(frozen=True)
class Wish:
    """What the coach asks for one athlete: `status` empty: not in the event; `seen`: the version shown, or 0; `needs`:
    sites that the event needs of them, None where that was not on the page.
    """

    code: str
    status: str
    priority: int | None
    seen: int
    needs: tuple[str, ...] | None = None


def new_event_page(viewer: Viewer) -> NewEventPage:
    """Raises NotFound for whoever coaches no squad."""
    members = _members(viewer)
    places = queries_air.places(viewer, queries_air.people(viewer))
    zones = Counter(one.timezone for one in members).most_common(1)
    return NewEventPage(viewer.today, members, places, zones[0][0] if zones else "UTC")


def add_event(viewer: Viewer, values: Mapping[str, Any], place: str, entered: Sequence[str], priority: int) -> str:
    """Make an event with at least one athlete in it; its code. `values` are the columns of events.csv but for its code
    and place. Raises NotFound and BadInput.
    """
    ids = _ids(_members(viewer), entered)
    if not ids:
        raise NotFound
    place_id = None
    if place:
        place_id = queries_air.place(viewer, queries_air.people(viewer), place).id
    with transaction.atomic():
        event_id, code = writes_squad.make_event(values, place_id)
        with storing(ids, clock.now()):
            writes_squad.enter(event_id, ids, "entered", priority)
    return code


def entries_page(viewer: Viewer, code: str) -> EntriesPage:
    """Raises NotFound where nobody of the viewer's squads is in such an event."""
    squads = queries_squad.squads_run(viewer)
    event = queries_squad.event_of_squads(squads, code)
    members = queries_squad.roster(viewer, squads)
    entrants = queries_squad.entrants(event.id, [one.id for one in members])
    return EntriesPage(
        event.code, event.name, event.kind, event.first_day, event.last_day, event.timezone, event.entry_deadline,
        members, entrants,
    )  # fmt: skip


def enter(viewer: Viewer, code: str, wishes: Sequence[Wish]) -> int:
    """Bring the entries to what is wished, all or none; how many changed. Raises NotFound, BadInput, and Stale where
    somebody else changed one since it was shown.
    """
    squads = queries_squad.squads_run(viewer)
    event = queries_squad.event_of_squads(squads, code)
    by_code = {one.code: one for one in queries_squad.roster(viewer, squads)}
    if not all(wish.code in by_code for wish in wishes):
        raise NotFound
    stand = queries_squad.entrants(event.id, [by_code[wish.code].id for wish in wishes])
    if any(wish.needs is not None and "damage" not in by_code[wish.code].shared for wish in wishes):
        raise NotFound
    changed = [wish for wish in wishes if _differs(stand.get(by_code[wish.code].id), wish)]
    at, ids = clock.now(), [by_code[wish.code].id for wish in changed]
    with row_scope.besides(ids), storing(ids, at):
        for wish in changed:
            _bring(event.id, by_code[wish.code].id, stand.get(by_code[wish.code].id), wish, at, viewer)
    return len(changed)


def unseen_events(viewer: Viewer, seen: Sequence[str]) -> tuple[tuple[str, str, date], ...]:
    """Events to come of the viewer's squads in which nobody shares a level with them: (code, name, first day)."""
    squads = queries_squad.squads_run(viewer)
    return queries_squad.unseen_events(squads, seen, viewer.today) if squads else ()


def _differs(stands: Entrant | None, wish: Wish) -> bool:
    if stands is None:
        return bool(wish.status)
    needs = wish.needs is not None and set(wish.needs) != set(stands.needs_sites)
    return needs or (stands.status, stands.priority) != (wish.status or "withdrawn", wish.priority)


def _bring(event_id: int, athlete_id: int, stands: Entrant | None, wish: Wish, at: datetime, viewer: Viewer) -> None:
    if stands is None:
        if wish.seen:
            raise Stale
        writes_squad.enter(event_id, [athlete_id], wish.status, wish.priority)
        return
    status, seen = wish.status or "withdrawn", wish.seen
    if stands.status != status:
        writes_team.change_status(
            stands.id, Change({"status": status}, frozenset({seen}), athlete_id, at, viewer.account_id)
        )
        seen += 1
    if stands.priority != wish.priority:
        writes_team.change_priority(
            stands.id, Change({"priority": wish.priority}, frozenset({seen}), athlete_id, at, viewer.account_id)
        )
        seen += 1
    if wish.needs is not None and set(wish.needs) != set(stands.needs_sites):
        told = {"needs_sites": tuple(sorted(wish.needs))}
        writes_team.change_needs(stands.id, Change(told, frozenset({seen}), athlete_id, at, viewer.account_id))


def _members(viewer: Viewer) -> tuple[Member, ...]:
    squads = queries_squad.squads_run(viewer)
    if not squads:
        raise NotFound
    return queries_squad.roster(viewer, squads)


def _ids(members: Sequence[Member], codes: Sequence[str]) -> list[int]:
    by_code = {one.code: one.id for one in members}
    if not all(code in by_code for code in codes):
        raise NotFound
    return [by_code[code] for code in codes]
