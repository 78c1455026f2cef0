"""What a hand-over paper is made of: pages of parts, every word ready. Nothing here knows a database or a web page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from coaching.sheets.values import SpotOnHand


@dataclass(frozen=True)
class Line:
    """A name in bold and what is told of it; `blank` leaves a dotted line after it, for a pen; `tick` a box before."""

    name: str = ""
    said: str = ""
    blank: bool = False
    tick: bool = False


@dataclass(frozen=True)
class Table:
    """Heads and rows of texts; an empty cell is there to be written in where `by_hand`."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    by_hand: bool = False


@dataclass(frozen=True)
class Part:
    """One part of a page under its head; `big` is type to be read at arm's length, `space` empty lines to write on."""

    head: str
    lines: tuple[Line, ...] = ()
    table: Table | None = None
    spots: tuple[SpotOnHand, ...] = ()
    big: bool = False
    space: int = 0


@dataclass(frozen=True)
class PaperPage:
    """One A4. `rows` are parts one under the other, two of them side by side where a row holds two. `size_pt` is the
    type it is set in where everything fits, and smaller, down to two thirds, where it does not.
    """

    title: str
    lead: tuple[str, ...]
    rows: tuple[tuple[Part, ...], ...]
    size_pt: float = 10.0


@dataclass(frozen=True)
class Paper:
    """The whole document. `words` holds left, right and page (with two holes: number and count)."""

    title: str
    language: str
    known_at: datetime
    foot: str
    pages: tuple[PaperPage, ...]
    words: Mapping[str, str] = field(default_factory=dict)
