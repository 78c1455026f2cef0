"""What a club's coaches wrote about an event. A note is the club's own: another club in the same event reads none."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from athletes.records.access import PURPOSE_OF_ROLE
from athletes.records.models import EventNote, Squad
from athletes.records.viewer import Viewer


@dataclass(frozen=True)
class Note:
    text: str
    by: str
    made_at: datetime


def event_notes(viewer: Viewer, event_code: str) -> dict[str, Note]:
    """The newest note of each kind that the viewer's clubs wrote, without those that were taken back. One query. The
    event came through the door.
    """
    held = [g.squad_id for g in viewer.grants if g.role in PURPOSE_OF_ROLE and g.squad_id is not None]
    clubs = Squad.objects.filter(id__in=held).values("club_id")
    rows = EventNote.objects.filter(event__code=event_code, club_id__in=clubs).order_by("made_at", "id")
    newest = {row.kind: Note(row.text, row.by_name, row.made_at) for row in rows}
    return {kind: note for kind, note in newest.items() if note.text}
