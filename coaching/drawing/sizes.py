"""How long something is, drawn across a plain circle of a size that everybody has seen in the hand."""

from __future__ import annotations

from coaching.drawing.svg import picture, tag

_SIDE_PX = 52.0


def draw_size(length_mm: float, circle_mm: float, title: str) -> str:
    """Return a circle with a bar of the length across it, to one scale: the circle fills the picture.

    Raises ValueError for a length over the circle's own.
    """
    if not 0 < length_mm <= circle_mm:
        raise ValueError(f"{length_mm} mm does not fit on a circle of {circle_mm} mm")
    middle, radius = _SIDE_PX / 2, _SIDE_PX / 2 - 2
    half = radius * length_mm / circle_mm
    circle = tag("circle", {"class": "size-circle", "cx": middle, "cy": middle, "r": radius})
    bar = tag("path", {"class": "size-bar", "d": f"M{middle - half:.2f} {middle:g}H{middle + half:.2f}"})
    return picture(_SIDE_PX, _SIDE_PX, "size", title, circle, bar)
