"""The pre-competition sheet: plain values to an accessible A4 PDF (PDF/UA-1) that reads in grey.

Values reach the typesetter as JSON data and are printed as they are; no text becomes markup. Only the fonts inside the
typesetter are used and the date of the file is that of "as known at", so that the same values make the same bytes.
"""

from __future__ import annotations

import json
import re
from dataclasses import asdict
from functools import cache
from importlib import resources
from typing import Any

import typst

from coaching.sheets.letters import BOX, drawable, lost, through
from coaching.sheets.small_hands import small_hands
from coaching.sheets.values import EventSheet, SheetRow

MOST_REPLACED = 12
_UNDRAWN = re.compile(r'the text `"(.+?)"` could not be displayed')


def event_sheet_pdf(sheet: EventSheet) -> bytes:
    """The sheet as PDF. Raises `typst.TypstError` where the document itself is wrong, never because of a name."""
    data = _data(sheet)
    for _ in range(MOST_REPLACED):
        try:
            return _compiled(data, sheet)
        except typst.TypstError as error:
            missing = _UNDRAWN.search(str(error))
            if missing is None:
                raise
            data = through(data, _replacing(_letter_of(missing.group(1))))
    return _compiled(through(data, lambda text: text.encode("ascii", "replace").decode()), sheet)


def _compiled(data: dict[str, Any], sheet: EventSheet) -> bytes:
    made = typst.compile(
        document(),
        format="pdf",
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(data)},
        pdf_standards=["ua-1"],
        timestamp=int(sheet.known_at.timestamp()),
    )
    return bytes(made)


@cache
def document() -> bytes:
    """The document that lays the values out; it holds no word of its own."""
    return resources.files("coaching.sheets").joinpath("event_sheet.typ").read_bytes()


def _data(sheet: EventSheet) -> dict[str, Any]:
    plain = asdict(sheet)
    plain["known_at"] = sheet.known_at.isoformat()
    plain["lost"] = sheet.words.get("lost", "") if any(lost(row.name) for row in sheet.rows) else ""
    drawn = [_hands(row, dict(sheet.words)) for row in sheet.rows]
    whole: dict[str, Any] = through(plain, drawable)
    for row, found, hands in zip(whole["rows"], sheet.rows, drawn, strict=True):
        row["hands"] = hands
        row["code"] = drawable(found.code) if lost(found.name) else ""
    return whole


def _hands(row: SheetRow, words: dict[str, str]) -> list[dict[str, str]]:
    return [through(hand, _kept) for hand in small_hands(row.spots, words)] if row.spots else []


def _kept(text: str) -> str:
    """A drawing keeps its own signs; only what cannot be told to the typesetter goes."""
    return text.encode("utf-8", "ignore").decode() if text.startswith("<svg") else drawable(text)


def _letter_of(shown: str) -> str:
    """The letter behind a message, which writes some as `\\u{7}`."""
    code = re.fullmatch(r"\\u\{([0-9a-f]+)\}", shown)
    return chr(int(code.group(1), 16)) if code else shown


def _replacing(letter: str) -> Any:
    return lambda text: text if text.startswith("<svg") else text.replace(letter, BOX)
