"""The pre-competition sheet: plain values to an accessible A4 PDF (PDF/UA-1) that reads in grey."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from coaching.sheets.letters import drawable, lost, through
from coaching.sheets.small_hands import small_hands
from coaching.sheets.typesetting import typeset
from coaching.sheets.values import EventSheet, SheetRow


def event_sheet_pdf(sheet: EventSheet) -> bytes:
    """The sheet as PDF; no name stops it from being made."""
    return typeset("event_sheet.typ", _data(sheet), sheet.known_at)


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
    return [through(hand, kept) for hand in small_hands(row.spots, words)] if row.spots else []


def kept(text: str) -> str:
    """A drawing keeps its own signs; only what cannot be told to the typesetter goes."""
    return text.encode("utf-8", "ignore").decode() if text.startswith("<svg") else drawable(text)
