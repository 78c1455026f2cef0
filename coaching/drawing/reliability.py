"""What was said against what came: a mark for each tenth, its range upright, and the line of perfect chances."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coaching.drawing.svg import label, line, picture, tag, words

WIDTH, HEIGHT = 352.0, 304.0
LEFT, TOP, SIDE = 52.0, 12.0, 248.0
STEPS = (0, 2, 4, 6, 8, 10)


@dataclass(frozen=True)
class Mark:
    """One tenth: mean chance said, share that held with its range, all 0-1; `few` draws it grey and hollow."""

    said_frac: float
    held_frac: float
    low_frac: float
    high_frac: float
    few: bool

    def __post_init__(self) -> None:
        """Refuse what is no chance, so that no picture shows a wrong one."""
        if not all(0.0 <= v <= 1.0 for v in (self.said_frac, self.held_frac, self.low_frac, self.high_frac)):
            raise ValueError("a chance lies outside 0 to 1")


def _x(frac: float) -> float:
    return LEFT + SIDE * frac


def _y(frac: float) -> float:
    return TOP + SIDE * (1.0 - frac)


def draw_reliability(marks: Sequence[Mark], title: str, said: str, held: str) -> str:
    """Return the picture as SVG, 352 by 304 px; `said` and `held` name the axes."""
    body = [line((_x(0), _y(0)), (_x(1), _y(1)), "rely-line")]
    for tenth in STEPS:
        at = tenth / 10
        body.append(line((_x(0), _y(at)), (_x(1), _y(at)), "rely-grid"))
        body.append(label(LEFT - 8, _y(at) + 4, str(10 * tenth), "axis-value", "end"))
        body.append(label(_x(at), _y(0) + 18, str(10 * tenth), "axis-value", "middle"))
    body.append(label(_x(0.5), _y(0) + 38, said, "axis-value", "middle"))
    turned = {"class": "axis-value", "text-anchor": "middle", "transform": f"translate(12 {_y(0.5):.0f}) rotate(-90)"}
    body.append(tag("text", turned, words(held)))
    body.extend(_mark(one) for one in marks)
    return picture(WIDTH, HEIGHT, "rely", title, *body)


def _mark(one: Mark) -> str:
    kind, x = ("rely-few" if one.few else "rely-sure"), _x(one.said_frac)
    upright = line((x, _y(one.low_frac)), (x, _y(one.high_frac)), f"rely-range {kind}")
    dot = tag("circle", {"class": f"rely-dot {kind}", "cx": x, "cy": _y(one.held_frac), "r": 4.5})
    return upright + dot
