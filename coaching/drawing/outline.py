"""The shape of a hand, built from segment lengths, widths and angles.

One left hand is measured out, palm as its owner sees it: fingers up, thumb to the left. The right
one is the same hand mirrored. Lengths are px of the drawing, about 1.6 px for 1 mm of an adult hand
(ours, set by eye). Along a digit ``v`` runs from the base crease to the tip; ``u`` runs across it
towards the little finger.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import cos, pi, radians, sin

from coaching.drawing.svg import Point, Polygon
from coaching.drawing.zones import DIGITS, PALM, Site, parse_site, zones_of

WIDTH_PX = 236.0
HEIGHT_PX = 344.0
_CREASE_HALF = 2.6
_GAP = 1.4
_SIDE = 4.6
_RIM = 4.2


@dataclass(frozen=True)
class Digit:
    """Measures of one digit: middle of its base crease, lean from upright, segments, widths at both ends."""

    base: Point
    lean_deg: float
    segments: tuple[float, ...]
    width_base: float
    width_tip: float

    @property
    def length(self) -> float:
        """Length from the base crease to the tip."""
        return sum(self.segments)

    def width_at(self, v: float) -> float:
        """Width at a height along the digit."""
        share = min(max(v / self.length, 0.0), 1.0)
        return self.width_base + (self.width_tip - self.width_base) * share

    def place(self, u: float, v: float) -> Point:
        """Return the point of the hand at (u, v) of this digit."""
        lean = radians(self.lean_deg)
        return (
            self.base[0] + u * cos(lean) + v * sin(lean),
            self.base[1] + u * sin(lean) - v * cos(lean),
        )


LEFT: dict[str, Digit] = {
    "thumb": Digit((79.0, 236.0), -41.0, (44.0, 47.0), 39.0, 33.0),
    "index": Digit((103.0, 152.0), -8.0, (42.0, 33.0, 37.0), 31.5, 27.0),
    "middle": Digit((137.5, 144.0), -1.5, (46.0, 38.0, 40.0), 32.5, 28.0),
    "ring": Digit((171.0, 150.0), 5.0, (42.0, 35.0, 38.0), 30.5, 26.5),
    "little": Digit((202.0, 169.0), 14.0, (32.0, 25.0, 31.0), 27.0, 22.5),
}


def _arc(digit: Digit, inset: float) -> Polygon:
    """Return points round the end of a digit, from its thumb side to its little-finger side."""
    radius = digit.width_tip / 2
    steps = (radians(180 - 180 * k / 8) for k in range(9))
    reach = radius - inset
    return tuple(digit.place(reach * cos(a), digit.length - radius + reach * sin(a)) for a in steps)


def _sides(digit: Digit, low: float, inset: float = 0.0) -> tuple[Polygon, Polygon]:
    """Return both edges of a digit: the thumb side upwards, the little side downwards."""
    high = digit.length - digit.width_tip / 2
    heights = [low + (high - low) * k / 4 for k in range(4)]
    left = tuple(digit.place(-(digit.width_at(v) / 2 - inset), v) for v in heights)
    right = tuple(digit.place(digit.width_at(v) / 2 - inset, v) for v in reversed(heights))
    return left, right


def digit_outline(name: str, low: float = 0.0) -> Polygon:
    """Return the shape of a left digit from height ``low`` to its end."""
    digit = LEFT[name]
    left, right = _sides(digit, low)
    return left + _arc(digit, 0.0) + right


@cache
def left_outline() -> Polygon:
    """Return the open outline of the left hand, from the wrist below the thumb to the other wrist edge."""
    fingers = [
        digit_outline(name, low) for name, low in zip(DIGITS[1:], (13.0, 13.0, 12.0, 11.0), strict=True)
    ]
    webs = [_between(fingers[i][-1], fingers[i + 1][0]) for i in range(3)]
    path: list[Point] = [(106.0, HEIGHT_PX), (98.0, 320.0), (84.0, 294.0), (69.0, 268.0), (60.0, 246.0)]
    path += digit_outline("thumb", 19.0)
    path += [(87.0, 210.5), (90.5, 203.0), (89.5, 186.0), (88.0, 164.0)]
    for finger, web in zip(fingers, [*webs, ()], strict=True):
        path += finger
        path += web
    path += [(213.5, 186.0), (211.0, 224.0), (203.0, 268.0), (188.0, 314.0), (182.0, HEIGHT_PX)]
    return tuple(path)


def _between(end: Point, start: Point) -> Polygon:
    return (((end[0] + start[0]) / 2, max(end[1], start[1]) + 7.0),)


def _block(digit: Digit, low: float, high: float, inset: float) -> Polygon:
    """Return a four-cornered piece of a digit between two heights."""
    corners = ((-1, low), (-1, high), (1, high), (1, low))
    return tuple(digit.place(side * (digit.width_at(v) / 2 - inset), v) for side, v in corners)


def _pad(digit: Digit, zone: str) -> Polygon:
    index = {"base": 0, "middle": 1, "tip": len(digit.segments) - 1}[zone]
    low = sum(digit.segments[:index]) + _CREASE_HALF + _GAP
    high = sum(digit.segments[: index + 1]) - _CREASE_HALF - _GAP
    if zone != "tip":
        return _block(digit, low, high, _SIDE + _GAP)
    half = digit.width_at(low) / 2 - _SIDE - _GAP
    return (digit.place(-half, low), *_arc(digit, _SIDE + _GAP), digit.place(half, low))


def _crease(digit: Digit, zone: str) -> Polygon:
    index = {"base-crease": 0, "middle-crease": 1, "tip-crease": len(digit.segments) - 1}[zone]
    at = sum(digit.segments[:index])
    return _block(digit, at - _CREASE_HALF, at + _CREASE_HALF, 1.5)


def _side(digit: Digit, zone: str) -> Polygon:
    turn = -1 if zone == "thumb-side" else 1
    low, high = _CREASE_HALF + _GAP, digit.length - digit.width_tip / 2 - 4
    corners = ((low, 0.6), (high, 0.6), (high, _SIDE), (low, _SIDE))
    return tuple(digit.place(turn * (digit.width_at(v) / 2 - inset), v) for v, inset in corners)


def _rim(digit: Digit) -> Polygon:
    outer, inner = _arc(digit, 0.4), _arc(digit, _RIM)
    return outer[1:-1] + tuple(reversed(inner[1:-1]))


def _digit_zone(name: str, zone: str) -> Polygon:
    digit = LEFT[name]
    if zone == "nail-rim":
        return _rim(digit)
    if zone == "back":
        return digit_outline(name)
    if zone.endswith("-side"):
        return _side(digit, zone)
    return _crease(digit, zone) if zone.endswith("-crease") else _pad(digit, zone)


def _oval(centre: Point, half: Point, lean_deg: float) -> Polygon:
    lean = radians(lean_deg)
    around = ((half[0] * cos(pi * k / 8), half[1] * sin(pi * k / 8)) for k in range(16))
    return tuple(
        (centre[0] + x * cos(lean) - y * sin(lean), centre[1] + x * sin(lean) + y * cos(lean))
        for x, y in around
    )


def callus(digit: str) -> Polygon:
    """Return the callus pad of a left palm under one finger."""
    measures = LEFT[digit]
    return _oval(measures.place(0.0, -17.0), (13.5, 7.5), measures.lean_deg - 6)


_HEEL: Polygon = (
    (116.0, 336.0), (116.0, 316.0), (124.0, 302.0), (136.0, 298.0), (147.0, 303.0),
    (158.0, 299.0), (170.0, 302.0), (177.0, 316.0), (176.0, 336.0),
)  # fmt: skip
_WEB: Polygon = ((92.5, 213.0), (93.5, 200.0), (92.0, 182.0), (100.0, 190.0), (104.0, 204.0), (101.0, 214.0))


@cache
def _left_shapes() -> dict[tuple[str, str], tuple[Polygon, ...]]:
    shapes = {(name, zone): (_digit_zone(name, zone),) for name in DIGITS for zone in zones_of(name)}
    palm = (tuple(callus(name) for name in DIGITS[1:]), (_HEEL,), (_WEB,))
    return shapes | {("", zone): pieces for zone, pieces in zip(PALM, palm, strict=True)}


def mirrored(shape: Polygon) -> Polygon:
    """Return a left shape as it stands on the right hand."""
    return tuple((WIDTH_PX - x, y) for x, y in shape)


def on_hand(shape: Polygon, hand: str) -> Polygon:
    """Return a left shape as it stands on the named hand (``L`` or ``R``)."""
    return mirrored(shape) if hand == "R" else shape


def shapes_of(site: Site) -> tuple[Polygon, ...]:
    """Return the polygons of a site in px of its own hand; a callus row has one for each finger."""
    return tuple(on_hand(shape, site.hand) for shape in _left_shapes()[(site.digit, site.zone)])


def middle_of(shape: Polygon) -> Point:
    """Return the mean of the corners of a shape."""
    return (sum(x for x, _ in shape) / len(shape), sum(y for _, y in shape) / len(shape))


def centre_of(code: str) -> Point:
    """Return the middle of the site that a code names, in px of its own hand."""
    corners = tuple(point for shape in shapes_of(parse_site(code)) for point in shape)
    return middle_of(corners)
