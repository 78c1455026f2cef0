"""A coach changes what is asked of an event and who goes: the bar, and the status of an entry."""

from __future__ import annotations

from athletes.records import access, queries_entered, writes_team
from athletes.records.access_writing import COACHES, athlete_to_write
from athletes.records.queries_entered import EntryOnFile, EventOnFile
from athletes.records.viewer import Viewer
from athletes.records.writes_team import Change, Stale
from coaching.usecases import clock
from coaching.usecases.storing import storing

__all__ = ["Stale", "set_bar", "set_status"]


def set_bar(viewer: Viewer, event_code: str, over: frozenset[int], bar: float | None, why: str = "") -> EventOnFile:
    """The event with its new bar, in parts of 100; None: the squad's own. Raises NotFound for whoever does not coach
    all who are entered, BadInput, and Stale.
    """
    at = clock.now()
    event = queries_entered.event_to_change(viewer, event_code)
    with storing(queries_entered.entrants(event.id), at):
        writes_team.change_bar(event.id, Change({"bar": bar}, over, None, at, viewer.account_id, why))
        return queries_entered.event(access.refs_visible(viewer), event_code)


def set_status(
    viewer: Viewer, event_code: str, athlete_code: str, over: frozenset[int], status: str, why: str = ""
) -> EntryOnFile:
    """The entry with its new status. Raises NotFound for whoever is no coach of the athlete, BadInput, and Stale."""
    at = clock.now()
    athlete = athlete_to_write(viewer, athlete_code, "level", COACHES, own=False)
    entry = queries_entered.entry(athlete, event_code)
    with storing([athlete.id], at):
        change = Change({"status": status}, over, athlete.id, at, viewer.account_id, why)
        writes_team.change_status(entry.id, change)
        return queries_entered.entry(athlete, event_code)
