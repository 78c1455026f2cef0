"""A coach writes down what a trip needs to know of a place, and what to do otherwise after an event."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext

from athletes.records import choices, queries_notes, queries_squad, writes_squad
from athletes.records.errors import BadInput, NotFound
from athletes.records.queries_notes import Note
from athletes.records.viewer import Viewer
from coaching.usecases import clock

LONGEST = 2000


def notes_of(viewer: Viewer, event_code: str) -> dict[str, Note]:
    """What the viewer's club wrote about an event that was shown to them, the newest of each kind."""
    return queries_notes.event_notes(viewer, event_code)


def write_note(viewer: Viewer, event_code: str, kind: str, text: str) -> None:
    """Keep it for the club of the first of the viewer's squads that has somebody in the event; an empty text takes back
    what stood. Raises NotFound and BadInput.
    """
    if kind not in choices.EVENT_NOTES:
        raise NotFound
    squads = queries_squad.squads_run(viewer)
    event = queries_squad.event_of_squads(squads, event_code)
    if len(text) > LONGEST:
        raise BadInput("text", gettext("is too long"), None, gettext("use at most %(n)d letters") % {"n": LONGEST})
    own = next(one for one in squads if queries_squad.in_event([one], event.id))
    with transaction.atomic():
        writes_squad.note_event(event.id, own.id, kind, text.strip(), clock.now(), viewer.account_id)
