"""The coach's morning list: who will not be ready, exceptions first."""

from __future__ import annotations

from datetime import date

from athletes.records import access, by_name
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.listing import Listed, lines, listing
from coaching.usecases.shown import MorningList

ORDER = ("out-of-reach", "act", "tight", "not-known", "on-course")
COACHING = frozenset({"head-coach", "assistant", "medical", "manager"})
STOPPED = {"emergency": -2, "today": -1}
"""Medical grades that come before every level, whatever it is."""


def morning_list(viewer: Viewer) -> MorningList:
    """The list of all squads in which the viewer has a coaching role, in one query. Raises NotFound without one."""
    if not (viewer.operator or viewer.roles() & COACHING):
        raise access.NotFound
    found = listing(viewer)
    ordered = sorted(found.athletes, key=_need)
    made = tuple(lines(viewer, ordered))
    return MorningList(
        as_of=max((line.as_of for line in made), default=viewer.today),
        known_at=max((line.computed_at for line in made if line.computed_at), default=clock.now()),
        squad_names=found.squad_names,
        lines=made,
        stale=sum(one.stale for one in found.athletes),
        not_shared=found.members - len(found.athletes),
        timezone=_most_common([one.ref.timezone for one in found.athletes]),
    )


def _most_common(zones: list[str]) -> str:
    """The zone of most; of several the first by name, UTC of none."""
    counts = {zone: zones.count(zone) for zone in set(zones)}
    return min(counts, key=lambda zone: (-counts[zone], zone), default="UTC")


def _need(one: Listed) -> tuple[int, int, date, tuple[str, str, str]]:
    """Whoever needs a doctor first; computed rows before waiting ones; exceptions, the nearest event, the name."""
    concluded, name = one.concluded, by_name.key(one.ref.name)
    if concluded is not None and concluded.medical in STOPPED:
        return (STOPPED[concluded.medical], 0, concluded.as_of, name)
    if not one.entries:
        return (2 if concluded is None else 1, len(ORDER), date.max, name)
    return (0, ORDER.index(one.entries[0].level), one.entries[0].first_day, name)
