"""Small bars of chance: readiness as a range with a tick at its value, and a line at the bar asked for."""

from __future__ import annotations

from dataclasses import dataclass

from coaching.drawing.svg import line, picture, rect


@dataclass(frozen=True)
class RangeBar:
    """Chances 0-1: low and high of the range, the value (None while not known), the bar (None when unset)."""

    low_frac: float
    high_frac: float
    title: str
    value_frac: float | None = None
    bar_frac: float | None = None
    width_px: float = 88.0
    height_px: float = 20.0

    def __post_init__(self) -> None:
        """Refuse a range that is not one, so that no picture shows a wrong one."""
        inside = (self.low_frac, self.high_frac, self.value_frac, self.bar_frac)
        if not all(part is None or 0.0 <= part <= 1.0 for part in inside):
            raise ValueError("a chance lies outside 0 to 1")
        if self.low_frac > self.high_frac:
            raise ValueError("low_frac lies above high_frac")

    def x(self, chance_frac: float) -> float:
        """Return where a chance lies in px; 2 px stay free at both ends for the strokes."""
        return 2.0 + chance_frac * (self.width_px - 4.0)


def draw_range(bar: RangeBar) -> str:
    """Return the range as SVG: a bar with a tick when the value is known, dashes when it is not."""
    middle = bar.height_px / 2
    body = [line((bar.x(0), middle), (bar.x(1), middle), "range-base")]
    low, high = bar.x(bar.low_frac), bar.x(bar.high_frac)
    if bar.value_frac is None:
        body.append(line((low, middle), (high, middle), "range-unknown"))
    else:
        body.append(rect(low, middle - 3, max(high - low, 1.0), 6, "range-span"))
        at = bar.x(bar.value_frac)
        body.append(line((at, middle - 6), (at, middle + 6), "range-value"))
    if bar.bar_frac is not None:
        at = bar.x(bar.bar_frac)
        body.append(line((at, 0), (at, bar.height_px), "range-bar-line"))
    return picture(bar.width_px, bar.height_px, "range", bar.title, *body)


def draw_change(start_frac: float, end_frac: float, title: str, bar_frac: float | None = None) -> str:
    """Return one step of the way to a number: a hollow piece from one chance to the next, 160 by 20 px."""
    low, high = sorted((start_frac, end_frac))
    scale = RangeBar(low, high, title, bar_frac=bar_frac, width_px=160.0)
    left, right = scale.x(low), scale.x(high)
    body = [rect(left, 4, max(right - left, 1.5), 12, "change-piece")]
    if bar_frac is not None:
        at = scale.x(bar_frac)
        body.append(line((at, 0), (at, scale.height_px), "range-bar-line"))
    return picture(scale.width_px, scale.height_px, "change", title, *body)
