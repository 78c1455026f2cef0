"""Papers to hand over: what the viewer may see, put into the words that delivery brings, as a PDF."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from athletes.records.viewer import Viewer
from coaching.sheets.event_table import event_table_csv
from coaching.sheets.paper import paper_pdf
from coaching.sheets.paper_values import Paper
from coaching.sheets.values import EventTable
from coaching.usecases import hand_over, trip_pack
from coaching.usecases.event_page import for_paper
from coaching.usecases.hand_over import HandOver, SquadSummary, Summary
from coaching.usecases.make_sheet import MadeFile
from coaching.usecases.shown_event import EventPage
from coaching.usecases.trip_pack import Contacts, TripPack


def make_card(viewer: Viewer, code: str, say: Callable[[HandOver], Paper]) -> MadeFile:
    """The card for a doctor; raises NotFound as `hand_over` does."""
    return _made(say(found := hand_over.hand_over(viewer, code)), code, found.today)


def make_own_card(viewer: Viewer, code: str | None, say: Callable[[HandOver], Paper]) -> MadeFile:
    """The same for the athlete, or the guardian of a minor."""
    found = hand_over.own_hand_over(viewer, code)
    return _made(say(found), found.athlete.code, found.today)


def make_summary(viewer: Viewer, code: str, say: Callable[[Summary], Paper]) -> MadeFile:
    """The summary of four weeks; raises NotFound as `summary` does."""
    found = hand_over.summary(viewer, code)
    return _made(say(found), code, found.last)


def make_squad_summary(viewer: Viewer, say: Callable[[SquadSummary], Paper]) -> MadeFile:
    """The same of a whole squad; raises NotFound as `squad_summary` does."""
    found = hand_over.squad_summary(viewer)
    return _made(say(found), "squad", found.last)


def make_squad_csv(viewer: Viewer, say: Callable[[SquadSummary], EventTable]) -> MadeFile:
    """Its table, one line an athlete; raises NotFound as `squad_summary` does."""
    found = hand_over.squad_summary(viewer)
    return MadeFile(event_table_csv(say(found)), "squad", found.last)


def make_pack(viewer: Viewer, event_code: str, say: Callable[[TripPack], Paper]) -> MadeFile:
    """The pack for an event away; raises NotFound as `for_paper` does."""
    found = trip_pack.trip_pack(viewer, event_code)
    return _made(say(found), event_code, found.page.as_of)


def make_contacts(viewer: Viewer, event_code: str, say: Callable[[Contacts], Paper]) -> MadeFile:
    """The strips of those under 18; raises NotFound as `contacts` does."""
    found = trip_pack.contacts(viewer, event_code)
    return _made(say(found), event_code, found.page.as_of)


def make_cards(viewer: Viewer, event_code: str, say: Callable[[EventPage], Paper]) -> MadeFile:
    """A card an athlete for between rounds; raises NotFound as `for_paper` does."""
    found, _ = for_paper(viewer, event_code)
    return _made(say(found), event_code, found.as_of)


def _made(paper: Paper, code: str, day: date) -> MadeFile:
    return MadeFile(paper_pdf(paper), code, day)
