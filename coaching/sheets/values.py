"""What a sheet is made of: plain values, every word ready. Nothing here knows a database or a web page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

Cell = str | int | float | None
"""A cell of a table; None is a value not known and stays empty."""


@dataclass(frozen=True)
class SpotOnHand:
    """One place that is not sound: codes for the drawing, and the words that are read aloud for it."""

    site: str
    state: str
    kind: str
    spoken: str


@dataclass(frozen=True)
class SheetRow:
    """One athlete. `level` is the code behind the square, empty where there is none; texts may hold several lines."""

    code: str
    name: str
    level: str
    call: str
    call_note: str
    entry: tuple[str, ...]
    where: tuple[tuple[str, str], ...]  # (place in bold or empty, what is seen there)
    protect: str
    most: str
    stop: str
    look: str
    spots: tuple[SpotOnHand, ...] = ()
    hands_note: str = ""  # stands in place of the drawing where there is nothing to draw
    own_trials: str = ""  # small, under what protects


@dataclass(frozen=True)
class SheetAir:
    """The event's air: a head of hours for each day and lines of figures under it, or one sentence alone."""

    title: str
    days: tuple[tuple[str, tuple[str, ...], tuple[tuple[str, tuple[str, ...]], ...]], ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class EventSheet:
    """The whole sheet. `words` holds the heads by name: who, hands, where, protect, most, hand, left, right, looks,
    notes, page (with two holes: number and count), and lost (what a replaced letter means).
    """

    title: str
    language: str
    known_at: datetime
    lead: tuple[str, ...]
    counts: str
    caution: str
    running_foot: str
    air: SheetAir
    rows: tuple[SheetRow, ...]
    looks: tuple[tuple[str, str], ...]  # (day, who and what), in the order of time
    stop_rule: tuple[str, ...]
    words: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class EventTable:
    """The same rows as a table: one head, one line an athlete."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    known_at: datetime
