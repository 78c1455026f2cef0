"""One digit drawn large, every zone at least 44 px each way, for a thumb on a phone.

The palm side stands at the left with both sides of the digit beside its pads; the back with the nail
and its rim stands at the right. Lengths are stretched so that creases can be hit: a plan, not a portrait.
"""

from __future__ import annotations

from collections.abc import Mapping

from coaching.drawing.hands import LENS, LENS_HALF_PX, SiteMark
from coaching.drawing.patterns import fill_of, pattern_defs
from coaching.drawing.svg import Point, grouped_picture, label, smooth, tag
from coaching.drawing.zones import Site, along

Box = tuple[float, float, float, float]
_SIDE_PX = 44.0
_PAD_WIDTH_PX = 96.0
_HEIGHT_PX = {"tip": 72.0, "middle": 52.0, "base": 56.0}
_CREASE_PX = 44.0
_BACK_LEFT_PX = _SIDE_PX * 2 + _PAD_WIDTH_PX + 28.0


def boxes(digit: str) -> dict[str, Box]:
    """Return the place of every zone of a digit as x, y, width and height in px, thumb side at the left."""
    places: dict[str, Box] = {}
    top = 4.0
    for zone in along(digit)[1:]:
        height = _HEIGHT_PX.get(zone, _CREASE_PX)
        places[zone] = (_SIDE_PX, top, _PAD_WIDTH_PX, height)
        top += height
    places["thumb-side"] = (0.0, 24.0, _SIDE_PX, top - 24.0)
    places["little-side"] = (_SIDE_PX + _PAD_WIDTH_PX, 24.0, _SIDE_PX, top - 24.0)
    places["nail-rim"] = (_BACK_LEFT_PX, 4.0, _PAD_WIDTH_PX, 76.0)
    places["back"] = (_BACK_LEFT_PX, 80.0, _PAD_WIDTH_PX, top - 80.0)
    return places


def draw_digit(
    hand: str, digit: str, marks: Mapping[str, SiteMark], *, labels: Mapping[str, str], link_prefix: str
) -> str:
    """Return one digit as SVG whose zones are links; ``labels`` names the drawing (``title``) and each site.

    On the right hand the thumb side stands at the right, as its owner sees it.
    """
    places = boxes(digit)
    width = _BACK_LEFT_PX + _PAD_WIDTH_PX + 4.0
    height = max(y + tall for _, y, _, tall in places.values()) + 4.0
    key = f"digit-{hand}-{digit}"
    body = [pattern_defs(frozenset(mark.state for mark in marks.values()), key)]
    for zone, place in places.items():
        code = Site(hand, digit, zone).code
        box = _on_hand(place, hand, zone)
        body.append(_zone(code, zone, box, marks.get(code), (link_prefix, labels[code], key)))
    return grouped_picture(width, height, "digit-view", labels["title"], *body)


def _on_hand(place: Box, hand: str, zone: str) -> Box:
    """Mirror the palm side on the right hand; the back stays at the right of the drawing."""
    x, y, width, height = place
    if hand == "L" or zone in ("nail-rim", "back"):
        return place
    return (2 * _SIDE_PX + _PAD_WIDTH_PX - x - width, y, width, height)


def _zone(code: str, zone: str, box: Box, mark: SiteMark | None, naming: tuple[str, str, str]) -> str:
    link_prefix, name, key = naming
    path = _shape(zone, box)
    spoken = mark.spoken if mark else name
    parts = [tag("path", {"class": f"zone digit-zone zone-{zone}", "d": path})]
    if mark:
        parts.append(_mark(mark, path, box, key))
    if zone == "nail-rim":
        parts.append(tag("path", {"class": "hand-line", "d": _nail(box)}))
    return tag("a", {"href": f"{link_prefix}{code}", "aria-label": spoken, "class": "zone-link"}, *parts)


def _mark(mark: SiteMark, path: str, box: Box, key: str) -> str:
    """Return what is seen in a zone and its word: a split as a cut across it, anything else all over it."""
    x, y, width, height = box
    depth = LENS_HALF_PX.get(mark.state) if mark.kind == "split" else None
    if depth is not None:
        path = _cut((x + width / 2, y + height / 2 - 6), min(width, 80.0) / 2, depth * 1.8)
    word = label(x + width / 2, y + height - 6, mark.word, "hand-number", "middle")
    if mark.state == "sound":
        return word
    return (
        tag("path", {"class": f"mark mark-{mark.state}", "d": path, "fill": fill_of(mark.state, key)}) + word
    )


def _cut(centre: Point, reach: float, depth: float) -> str:
    return smooth(tuple((centre[0] + reach * dx, centre[1] + depth * dy) for dx, dy in LENS), closed=True)


def _shape(zone: str, box: Box) -> str:
    x, y, width, height = box
    if zone in ("tip", "nail-rim"):
        r = width / 2
        return f"M{x:g} {y + height:g}V{y + r:g}A{r:g} {r:g} 0 0 1 {x + width:g} {y + r:g}V{y + height:g}Z"
    return f"M{x:g} {y:g}H{x + width:g}V{y + height:g}H{x:g}Z"


def _nail(box: Box) -> str:
    x, y, width, height = box
    left, right, top = x + 22, x + width - 22, y + 18
    return f"M{left:g} {y + height:g}V{top + 26:g}A26 26 0 0 1 {right:g} {top + 26:g}V{y + height:g}"
