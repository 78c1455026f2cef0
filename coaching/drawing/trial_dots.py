"""Every answer of a trial as a dot, block by block: without the change hollow, with it full; a short bar at each
block's mean, and nothing drawn over the dots.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from coaching.drawing.svg import label, line, number, picture, rect, tag

LEFT, TOP, HEIGHT, BELOW = 28.0, 12.0, 150.0, 34.0
COLUMN, BETWEEN = 20.0, 10.0
"""Px of a block, and between two pairs."""


@dataclass(frozen=True)
class DotsPair:
    """Answers of one pair: without and with the change; `change_first` says which came first."""

    usual: Sequence[float]
    change: Sequence[float]
    change_first: bool


def draw_dots(pairs: Sequence[DotsPair], top: float, title: str, ticks: Sequence[tuple[float, str]]) -> str:
    """Return the picture; `top` is the highest value of the scale, `ticks` values with their words."""
    width = LEFT + len(pairs) * (2 * COLUMN + BETWEEN) + 4

    def y(value: float) -> float:
        return TOP + HEIGHT * (1 - min(max(value, 0.0), top) / top)

    body = []
    for value, said in ticks:
        body.append(line((LEFT, y(value)), (width, y(value)), "dots-rule"))
        body.append(label(LEFT - 6, y(value) + 4, said, "axis-value", "end"))
    for n, pair in enumerate(pairs):
        x = LEFT + n * (2 * COLUMN + BETWEEN) + BETWEEN / 2
        arms = [(pair.usual, False), (pair.change, True)]
        for column, (values, change) in enumerate(reversed(arms) if pair.change_first else arms):
            body += _block(values, change, x + column * COLUMN, y)
        body.append(label(x + COLUMN, TOP + HEIGHT + 22, str(n + 1), "axis-day", "middle"))
    return picture(width, TOP + HEIGHT + BELOW, "dots", title, *body)


def _block(values: Sequence[float], change: bool, x: float, y: Callable[[float], float]) -> list[str]:
    """Dots of one block; those of one value lie side by side, as far as the block is wide."""
    body = [rect(x + 1, TOP, COLUMN - 2, HEIGHT, "dots-change" if change else "dots-usual")]
    if values:
        mean = y(sum(values) / len(values))
        body.append(line((x + 3, mean), (x + COLUMN - 3, mean), "dots-mean"))
    for value, count in sorted(Counter(values).items()):
        step = min(6.0, (COLUMN - 8) / max(count - 1, 1))
        for k in range(count):
            cx = x + COLUMN / 2 + (k - (count - 1) / 2) * step
            css = "dot-change" if change else "dot-usual"
            body.append(tag("circle", {"class": css, "cx": number(cx), "cy": number(y(value)), "r": 3}))
    return body
