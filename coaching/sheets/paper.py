"""Papers to be handed over: plain values to an accessible A4 PDF (PDF/UA-1) that reads in grey."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from coaching.sheets.event_sheet import kept
from coaching.sheets.letters import drawable, through
from coaching.sheets.paper_values import Paper, Part
from coaching.sheets.small_hands import small_hands
from coaching.sheets.typesetting import typeset


def paper_pdf(paper: Paper) -> bytes:
    """The paper as PDF; no name stops it from being made."""
    return typeset("paper.typ", _data(paper), paper.known_at)


def _data(paper: Paper) -> dict[str, Any]:
    plain = asdict(paper)
    plain["known_at"] = paper.known_at.isoformat()
    whole: dict[str, Any] = through(plain, drawable)
    for page, found in zip(whole["pages"], paper.pages, strict=True):
        for row, parts in zip(page["rows"], found.rows, strict=True):
            for part, one in zip(row, parts, strict=True):
                part["hands"] = _hands(one, paper)
    return whole


def _hands(part: Part, paper: Paper) -> list[dict[str, str]]:
    return [through(hand, kept) for hand in small_hands(part.spots, dict(paper.words))] if part.spots else []
