"""Files of one event: what the viewer may see of it, handed to the sheets in the words that delivery brings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from athletes.records.viewer import Viewer
from coaching.sheets.event_sheet import event_sheet_pdf
from coaching.sheets.event_table import event_table_csv, event_table_xlsx
from coaching.sheets.values import EventSheet, EventTable
from coaching.usecases.event_page import event_page
from coaching.usecases.shown_event import EventPage


@dataclass(frozen=True)
class MadeFile:
    """A file made for one viewer, with what names it: the code of the event and the day."""

    content: bytes
    event_code: str
    as_of: date


def make_pdf(viewer: Viewer, event_code: str, say: Callable[[EventPage], EventSheet]) -> MadeFile:
    """The pre-competition sheet; raises NotFound as `event_page` does."""
    page = event_page(viewer, event_code)
    return MadeFile(event_sheet_pdf(say(page)), page.event.code, page.as_of)


def make_csv(viewer: Viewer, event_code: str, say: Callable[[EventPage], EventTable]) -> MadeFile:
    """The same rows for a spreadsheet, as CSV; raises NotFound as `event_page` does."""
    page = event_page(viewer, event_code)
    return MadeFile(event_table_csv(say(page)), page.event.code, page.as_of)


def make_xlsx(viewer: Viewer, event_code: str, say: Callable[[EventPage], EventTable]) -> MadeFile:
    """The same rows as a workbook; raises NotFound as `event_page` does."""
    page = event_page(viewer, event_code)
    return MadeFile(event_table_xlsx(say(page)), page.event.code, page.as_of)
