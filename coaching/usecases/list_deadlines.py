"""Every deadline that waits for a coach, over all athletes, the nearest first."""

from __future__ import annotations

from dataclasses import dataclass

from athletes.records import access
from athletes.records.errors import NotFound
from athletes.records.paging import Key, Page, Wanted, in_order
from athletes.records.viewer import Viewer
from coaching.rules.conclusions import Deadline
from coaching.usecases.answer_decision import WAITING
from coaching.usecases.morning_list import COACHING
from coaching.usecases.showing import show


@dataclass(frozen=True)
class DeadlineOf:
    """One deadline with whose it is and for which event; a site or form that is not shared is None."""

    athlete_id: str
    event_id: str
    deadline: Deadline


def list_deadlines(viewer: Viewer, wanted: Wanted) -> Page[DeadlineOf]:
    """Deadlines that are open or due, cut to what is shared. Raises NotFound without a coaching role."""
    if not viewer.roles() & COACHING:
        raise NotFound
    shown = show(viewer, access.refs_visible(viewer))
    found = {
        _key(one): one
        for athlete in shown
        for entry in athlete.entries
        for one in (DeadlineOf(athlete.code, entry.event.code, d) for d in entry.deadlines if d.state in WAITING)
    }
    return in_order(found.values(), _key, wanted)


def _key(one: DeadlineOf) -> Key:
    d = one.deadline
    return (d.latest, one.athlete_id, one.event_id, d.kind, d.site or "", d.form or "", d.rule)
