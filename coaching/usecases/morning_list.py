"""The coach's morning list: who will not be ready, exceptions first."""

from __future__ import annotations

from datetime import date

from athletes.records import access, queries
from athletes.records.viewer import Viewer
from coaching.ledger import staleness
from coaching.usecases import clock
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown, EventShown, MorningList

ORDER = ("out-of-reach", "act", "tight", "not-known", "on-course")
COACHING = frozenset({"head-coach", "assistant", "medical", "manager"})


def morning_list(viewer: Viewer) -> MorningList:
    """The list of all squads in which the viewer has a coaching role; raises NotFound without such a role."""
    if not (viewer.operator or viewer.roles() & COACHING):
        raise access.NotFound
    squads = queries.squads_of(viewer)
    squad_members = queries.members(viewer, [squad.id for squad in squads])
    members = frozenset().union(*squad_members.values())
    visible = [ref for ref in access.refs_visible(viewer, "level") if ref.id in members]
    rows = sorted(show(viewer, visible, course=False), key=_need)
    known_at = max((r.computed_at for r in rows if r.computed_at), default=clock.now())
    return MorningList(
        as_of=max((row.as_of for row in rows), default=viewer.today),
        known_at=known_at,
        squad_names=tuple(squad.name for squad in squads),
        rows=tuple(rows),
        events=_events(rows),
        stale=len(staleness.stale_of([ref.id for ref in visible])),
        not_shared=len(members) - len(visible),
        timezone=_most_common([ref.timezone for ref in visible]),
    )


def _most_common(zones: list[str]) -> str:
    """The zone of most; of several the first by name, UTC of none."""
    return min(zones, key=lambda zone: (-zones.count(zone), zone), default="UTC")


def _need(row: AthleteShown) -> tuple[int, int, date, str]:
    """Whoever needs a doctor first; computed rows before waiting ones; exceptions, the nearest event, the name."""
    entry = row.next_entry
    if row.medical in ("today", "emergency"):
        return (-2 if row.medical == "emergency" else -1, 0, row.as_of, row.name)
    if entry is None:
        return (1 if row.computed_at else 2, len(ORDER), date.max, row.name)
    return (0, ORDER.index(entry.level), entry.event.first_day, row.name)


def _events(rows: list[AthleteShown]) -> tuple[EventShown, ...]:
    found = {entry.event.code: entry.event for row in rows for entry in row.entries}
    return tuple(sorted(found.values(), key=lambda event: (event.first_day, event.name)))
