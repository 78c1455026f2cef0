"""What travels with a squad: the pack for an event, the cards between rounds, and the contacts of those under 18."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from athletes.records import emergency, queries_notes, queries_trip
from athletes.records.emergency import Emergency
from athletes.records.errors import NotFound
from athletes.records.queries_events import EventFacts
from athletes.records.queries_notes import Note
from athletes.records.viewer import Viewer
from coaching.usecases.cutting import causes_open_to
from coaching.usecases.event_page import for_paper
from coaching.usecases.shown_event import EventPage


@dataclass(frozen=True)
class TripPack:
    """`sensitive` by athlete's code, only of those of whom the viewer is told why care is refused."""

    page: EventPage
    event: EventFacts
    emergency: Emergency | None
    notes: Mapping[str, Note]
    sensitive: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Contact:
    """A minor in the event, and their guardians by name."""

    code: str
    name: str
    guardians: tuple[str, ...]


@dataclass(frozen=True)
class Contacts:
    page: EventPage
    minors: tuple[Contact, ...]


def trip_pack(viewer: Viewer, event_code: str) -> TripPack:
    """Raises NotFound as `for_paper` does."""
    page, found = for_paper(viewer, event_code)
    refs = [one.athlete for one in found.entries if one.status != "withdrawn"]
    open_to = causes_open_to(viewer)
    told = [ref for ref in refs if ref.id in open_to and "checkins" in ref.shared]
    return TripPack(
        page, found.event, emergency.emergency_in(found.event.timezone),
        queries_notes.event_notes(viewer, event_code),
        queries_trip.sensitivities(told),
    )  # fmt: skip


def contacts(viewer: Viewer, event_code: str) -> Contacts:
    """Raises NotFound as `for_paper` does, and where nobody under 18 who shares a level is to start."""
    page, found = for_paper(viewer, event_code)
    minors = [one.athlete for one in found.entries if one.status != "withdrawn" and one.athlete.minor]
    if not minors:
        raise NotFound
    names = queries_trip.guardians([ref.id for ref in minors])
    return Contacts(page, tuple(Contact(ref.code, ref.name, names.get(ref.id, ())) for ref in minors))
