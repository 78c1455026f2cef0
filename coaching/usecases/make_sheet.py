"""Files of one event: what the viewer may see of it, handed to the sheets in the words that delivery brings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from athletes.records.viewer import Viewer
from coaching.sheets.event_sheet import event_sheet_pdf
from coaching.sheets.event_table import event_table_csv, event_table_xlsx
from coaching.sheets.values import EventSheet, EventTable
from coaching.usecases.event_page import for_paper
from coaching.usecases.shown_event import EventPage
from coaching.usecases.trial_squad import tried_by


@dataclass(frozen=True)
class MadeFile:
    """A file made for one viewer, with what names it: the code of the event and the day."""

    content: bytes
    event_code: str
    as_of: date


def make_pdf(viewer: Viewer, event_code: str, say: Callable[[EventPage], EventSheet]) -> MadeFile:
    """The pre-competition sheet; raises NotFound as `for_paper` does."""
    page, one = for_paper(viewer, event_code)
    tried = tried_by(entered.athlete for entered in one.entries)
    page = replace(page, own_words={code: found.words for code, found in tried.items()})
    return MadeFile(event_sheet_pdf(say(page)), page.event.code, page.as_of)


def make_csv(viewer: Viewer, event_code: str, say: Callable[[EventPage], EventTable]) -> MadeFile:
    """The same rows for a spreadsheet, as CSV; raises NotFound as `for_paper` does."""
    page, _ = for_paper(viewer, event_code)
    return MadeFile(event_table_csv(say(page)), page.event.code, page.as_of)


def make_xlsx(viewer: Viewer, event_code: str, say: Callable[[EventPage], EventTable]) -> MadeFile:
    """The same rows as a workbook; raises NotFound as `for_paper` does."""
    page, _ = for_paper(viewer, event_code)
    return MadeFile(event_table_xlsx(say(page)), page.event.code, page.as_of)
