"""Both hands with what is not sound on them.

Palms as their owner sees them: left hand on the left, thumbs outwards, little fingers together.
``turned`` swaps the two, as somebody sees them who stands opposite. A sound zone stays paper.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, radians, sin

from coaching.drawing.leaders import Note, draw_leaders, height_of
from coaching.drawing.outline import (
    HEIGHT_PX,
    LEFT,
    WIDTH_PX,
    callus,
    left_outline,
    middle_of,
    on_hand,
    shapes_of,
)
from coaching.drawing.patterns import PATTERNED, fill_of, pattern_defs
from coaching.drawing.svg import Point, Polygon, grouped_picture, label, picture, smooth, straight, tag
from coaching.drawing.zones import DIGITS, HANDS, Site, parse_site, sites_of_hand

_GUTTER_PX = 14.0
_COLUMN_PX = 176.0
STATES: frozenset[str] = PATTERNED | {"open", "rimmed", "sound"}
_CUTS: frozenset[str] = frozenset({"split"})
LENS_HALF_PX = {"open": 4.2, "closing": 2.7, "rimmed": 3.2, "thinned": 2.2}
#: Corners of a cut, in shares of its half length and half depth.
LENS: Polygon = (
    (-1.0, 0.0), (-0.45, -0.85), (0.0, -1.0), (0.45, -0.85), (1.0, 0.0),
    (0.45, 0.85), (0.0, 1.0), (-0.45, 0.85),
)  # fmt: skip
_ROUND: frozenset[str] = frozenset({"palm-callus", "palm-heel", "web"})
_LINES: tuple[Polygon, ...] = (
    ((88.0, 190.0), (112.0, 194.0), (142.0, 208.0), (176.0, 236.0)),
    ((212.0, 200.0), (180.0, 206.0), (150.0, 198.0), (134.0, 182.0)),
    ((92.0, 186.0), (122.0, 212.0), (136.0, 246.0), (132.0, 284.0)),
)


@dataclass(frozen=True)
class SiteMark:
    """What is seen at one site.

    state: pink, glassy, shedding, ridge, soft, a stage of damage (open, closing, rimmed, thinned), or sound
    when only the reserve of the site is told.
    kind: the damage (``split`` draws a cut; anything else fills the zone). spoken: the whole phrase read
    aloud. place, word, details: the lines beside the leader. missing_step: 1 to 6, how much of reserve is
    gone, or 0. shown: a short text inside the zone. part: the finger that a callus sits under.
    """

    state: str
    spoken: str
    place: str = ""
    word: str = ""
    details: tuple[str, ...] = ()
    kind: str = ""
    missing_step: int = 0
    shown: str = ""
    part: str = ""

    def __post_init__(self) -> None:
        """Refuse a state that has no look of its own, so that none is drawn as another."""
        if self.state not in STATES:
            raise ValueError(f"state {self.state!r} is not one of {', '.join(sorted(STATES))}")


@dataclass(frozen=True)
class _Frame:
    """What every part of one drawing shares."""

    marks: Mapping[str, SiteMark]
    labels: Mapping[str, str]
    link_prefix: str | None
    key: str
    by_digit: bool


def draw_hands(
    marks: Mapping[str, SiteMark],
    *,
    labels: Mapping[str, str],
    link_prefix: str | None = None,
    turned: bool = False,
    compact: bool = False,
    by_zone: bool = False,
    key: str = "hands",
) -> str:
    """Return both hands as SVG.

    labels: ``title``, ``left``, ``right`` and a name for every site code; with ``compact`` and a
    ``link_prefix``, also a name for every digit (``R-middle``), because there one tap opens a digit.
    link_prefix: start of each link (``#site-``), or None for a picture without links.
    compact: no leaders, 390 px wide and less; with ``by_zone`` each zone is a link there as well.
    Raises ValueError for a mark on a site that does not exist.
    """
    by_digit = compact and link_prefix is not None and not by_zone
    frame = _Frame(marks, labels, link_prefix, key, by_digit)
    order = tuple(reversed(HANDS)) if turned else HANDS
    margin = 0.0 if compact else _COLUMN_PX
    origins = {order[0]: margin, order[1]: margin + WIDTH_PX + _GUTTER_PX}
    body = [pattern_defs(frozenset(mark.state for mark in marks.values()), key)]
    body += [_hand(hand, origins[hand], frame) for hand in order]
    width, height = margin * 2 + WIDTH_PX * 2 + _GUTTER_PX, HEIGHT_PX
    if not compact:
        notes = _notes(marks, origins, order)
        height = max(height, height_of(notes))
        body.append(draw_leaders(notes, _COLUMN_PX, width))
    return grouped_picture(
        width, height, "hands hands-compact" if compact else "hands", labels["title"], *body
    )


def draw_one_hand(
    hand: str, marks: Mapping[str, SiteMark], *, labels: Mapping[str, str], key: str = "hand"
) -> str:
    """Return one small hand with a ring round each marked site; marks of the other hand are left out."""
    own = {code: mark for code, mark in marks.items() if parse_site(code).hand == hand}
    frame = _Frame(own, labels, None, key, by_digit=True)
    rings = [
        tag("circle", {"class": "hand-ring", "cx": at[0], "cy": at[1], "r": 22})
        for at in (_spot(parse_site(code), mark) for code, mark in own.items())
    ]
    body = [pattern_defs(frozenset(m.state for m in own.values()), key), _hand(hand, 0.0, frame), *rings]
    return picture(WIDTH_PX, HEIGHT_PX, "hands hands-one", labels["title"], *body)


def _hand(hand: str, origin_x: float, frame: _Frame) -> str:
    for code in frame.marks:
        parse_site(code)
    lines = [
        tag("path", {"class": "hand-line", "d": smooth(on_hand(shape, hand), closed=False)})
        for shape in _LINES
    ]
    skin = tag("path", {"class": "hand-outline", "d": smooth(on_hand(left_outline(), hand), closed=False)})
    x, y = on_hand(((140.0, 272.0),), hand)[0]
    name = label(x, y, frame.labels["left" if hand == "L" else "right"], "hand-name", "middle")
    body = (*lines, skin, *_parts(hand, frame), name)
    return tag("g", {"class": "hand", "transform": f"translate({origin_x:g} 0)"}, *body)


def _parts(hand: str, frame: _Frame) -> list[str]:
    """Return the zones, backs first as they lie under the pads; whole digits when a tap opens a digit."""
    sites = sorted(sites_of_hand(hand), key=lambda site: site.zone != "back")
    if not frame.by_digit:
        return [_named(frame, site.code, _zone(site, frame)) for site in sites]
    digits = [
        _named(frame, f"{hand}-{digit}", "".join(_zone(site, frame) for site in sites if site.digit == digit))
        for digit in DIGITS
    ]
    return digits + [_named(frame, site.code, _zone(site, frame)) for site in sites if not site.digit]


def _named(frame: _Frame, code: str, body: str) -> str:
    """Return a part with the name it is read aloud by: a link, or a plain group."""
    own = [mark for site, mark in frame.marks.items() if code in (site, _digit_code(site))]
    spoken = "; ".join(mark.spoken for mark in own)
    if frame.link_prefix is not None:
        attrs = {
            "href": f"{frame.link_prefix}{code}",
            "aria-label": spoken or frame.labels[code],
            "class": "zone-link",
        }
        return tag("a", attrs, body)
    if not spoken:
        return tag("g", {"aria-hidden": "true"}, body)
    return tag("g", {"role": "img", "aria-label": spoken}, body)


def _digit_code(site: str) -> str:
    """Return the code of the digit that a site lies on, such as ``R-middle``."""
    return "-".join(site.split("-")[:2])


def _zone(site: Site, frame: _Frame) -> str:
    mark = frame.marks.get(site.code)
    trace = smooth if site.zone in _ROUND else straight
    edge = "".join(trace(shape, closed=True) for shape in shapes_of(site))
    drawn = tag("path", {"class": f"zone zone-{site.zone}" + _step_class(mark), "d": edge})
    return drawn + (_mark(site, mark, frame.key) if mark else "")


def _step_class(mark: SiteMark | None) -> str:
    return f" q{mark.missing_step}" if mark and mark.missing_step else ""


def _mark(site: Site, mark: SiteMark, key: str) -> str:
    cut = mark.kind in _CUTS and mark.state in LENS_HALF_PX
    shapes = (_lens(site, LENS_HALF_PX[mark.state]),) if cut else _marked_shapes(site, mark)
    trace = smooth if cut or site.zone in _ROUND else straight
    path = "".join(trace(shape, closed=True) for shape in shapes)
    seen = ""
    if mark.state != "sound":
        seen = tag("path", {"class": f"mark mark-{mark.state}", "d": path, "fill": fill_of(mark.state, key)})
    if not mark.shown:
        return seen
    xs, ys = [x for x, _ in shapes[0]], [y for _, y in shapes[0]]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    return seen + label(x, y + 4, mark.shown, "hand-number", "middle")


def _marked_shapes(site: Site, mark: SiteMark) -> tuple[Polygon, ...]:
    if site.zone == "palm-callus" and mark.part:
        return (on_hand(callus(mark.part), site.hand),)
    return shapes_of(site)


def _lens(site: Site, half: float) -> Polygon:
    """Return the shape of a cut across the zone: pointed at both ends, ``half`` px deep each way."""
    x, y = middle_of(shapes_of(site)[0])
    reach = (LEFT[site.digit].width_tip if site.digit else 26.0) * 0.4
    lean = radians(LEFT[site.digit].lean_deg if site.digit else 0.0) * (1 if site.hand == "L" else -1)
    return tuple(
        (
            x + reach * dx * cos(lean) - half * dy * sin(lean),
            y + reach * dx * sin(lean) + half * dy * cos(lean),
        )
        for dx, dy in LENS
    )


def _spot(site: Site, mark: SiteMark) -> Point:
    return middle_of(_marked_shapes(site, mark)[0])


def _notes(marks: Mapping[str, SiteMark], origins: Mapping[str, float], order: tuple[str, ...]) -> list[Note]:
    notes = []
    for code, mark in marks.items():
        if not mark.word:
            continue
        site = parse_site(code)
        x, y = _spot(site, mark)
        notes.append(
            Note((x + origins[site.hand], y), site.hand == order[0], mark.place, mark.word, mark.details)
        )
    return notes
