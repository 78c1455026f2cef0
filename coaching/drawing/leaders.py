"""Notes beside a drawing, each tied to its spot by a line, set so that none covers another."""

from __future__ import annotations

from dataclasses import dataclass

from coaching.drawing.svg import Point, label, straight, tag

_LINE_PX = 16.0
_SPACE_PX = 12.0
_TOP_PX = 14.0


@dataclass(frozen=True)
class Note:
    """A note: the spot it speaks of, whether it stands in the left column, and its lines of text."""

    spot: Point
    at_left: bool
    place: str
    word: str
    details: tuple[str, ...]

    @property
    def height(self) -> float:
        """Height of the text in px."""
        return _LINE_PX * (2 + len(self.details))


def draw_leaders(notes: list[Note], column_px: float, width_px: float) -> str:
    """Return the notes of both columns; each column is ``column_px`` wide, the drawing ``width_px``."""
    parts = []
    for at_left in (True, False):
        column = sorted((note for note in notes if note.at_left is at_left), key=lambda note: note.spot[1])
        for note, top in zip(
            column, tops([n.spot[1] for n in column], [n.height for n in column]), strict=True
        ):
            parts.append(_draw(note, top, 0.0 if at_left else width_px - column_px + 20, column_px - 20))
    return tag("g", {"class": "leaders", "aria-hidden": "true"}, *parts)


def tops(wanted: list[float], heights: list[float]) -> list[float]:
    """Return the top of each note in px: as near its spot as the one above allows."""
    found: list[float] = []
    free = _TOP_PX
    for spot_y, height in zip(wanted, heights, strict=True):
        top = max(free, spot_y - _LINE_PX)
        found.append(top)
        free = top + height + _SPACE_PX
    return found


def height_of(notes: list[Note]) -> float:
    """Return the height in px that the longer column takes."""
    lowest = 0.0
    for at_left in (True, False):
        column = sorted((note for note in notes if note.at_left is at_left), key=lambda note: note.spot[1])
        places = tops([note.spot[1] for note in column], [note.height for note in column])
        lowest = max([lowest, *(top + n.height for top, n in zip(places, column, strict=True))])
    return lowest


def _draw(note: Note, top: float, x: float, width: float) -> str:
    texts = [label(x, top, note.place, "leader-place"), label(x, top + _LINE_PX, note.word, "leader-word")]
    texts += [
        label(x, top + _LINE_PX * (2 + i), detail, "leader-detail") for i, detail in enumerate(note.details)
    ]
    start = (x + width - 6, top + 11) if note.at_left else (x - 6, top + 11)
    turn = (start[0] + (16 if note.at_left else -16), start[1])
    path = straight((start, turn, note.spot), closed=False)
    halo = tag("path", {"class": "leader-halo", "d": path})
    dot = tag("circle", {"class": "leader-dot", "cx": note.spot[0], "cy": note.spot[1], "r": 1.8})
    return "".join((halo, tag("path", {"class": "leader-line", "d": path}), dot, *texts))
