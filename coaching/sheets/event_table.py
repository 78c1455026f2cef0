"""The rows of an event as CSV and XLSX. What a spreadsheet would take for a formula is made harmless; numbers stay
numbers; the same values make the same bytes.
"""

from __future__ import annotations

import io
import re
import zipfile
from datetime import UTC, datetime

from tablib import Dataset

from coaching.sheets.values import Cell, EventTable

HARMFUL = ("=", "+", "-", "@", "\t", "\r", "\n")
_NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_EARLIEST = (1980, 1, 1, 0, 0, 0)  # of a ZIP file; its times carry no zone
_STAMPS = re.compile(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*")
SHEET_NAME_MOST = 31
_NOT_IN_SHEET_NAME = re.compile(r"[\[\]:*?/\\']")


def harmless(cell: Cell) -> Cell:
    """The cell as a spreadsheet may hold it: text that would start a formula gets an apostrophe before it, and
    signs that no file of the kind can hold are dropped. Numbers and empty cells stay.
    """
    if not isinstance(cell, str):
        return cell
    text = _NOT_IN_XML.sub("", cell)
    return f"'{text}" if text.startswith(HARMFUL) else text


def event_table_csv(table: EventTable) -> bytes:
    """RFC 4180 lines with CRLF in UTF-8, with the byte order mark by which spreadsheets know it."""
    return str(_dataset(table).export("csv")).encode("utf-8-sig")


def event_table_xlsx(table: EventTable) -> bytes:
    """One sheet, its head in the first row."""
    return _timeless(bytes(_dataset(table).export("xlsx")), table.known_at)


def _dataset(table: EventTable) -> Dataset:
    title = _NOT_IN_SHEET_NAME.sub(" ", str(harmless(table.title)))[:SHEET_NAME_MOST].strip() or "event"
    rows = [[harmless(cell) for cell in row] for row in table.rows]
    return Dataset(*rows, headers=[harmless(name) for name in table.head], title=title)


def _timeless(made: bytes, known_at: datetime) -> bytes:
    """The workbook with the instant of its facts in place of that of its making."""
    stamp = known_at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ").encode()
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(made)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            part = (
                _STAMPS.sub(rb"\g<1>" + stamp, old.read(name))
                if name == "docProps/core.xml"
                else old.read(name)
            )
            entry = zipfile.ZipInfo(name, _EARLIEST)
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, part)
    return out.getvalue()
