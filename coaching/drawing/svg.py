"""SVG text: elements, numbers and escaping.

Presentation comes from classes of the stylesheet alone, because the pages forbid inline style;
an attribute named ``style`` or an event handler is refused here, once for every picture.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from xml.sax.saxutils import escape, quoteattr

Point = tuple[float, float]
Polygon = tuple[Point, ...]
Attrs = Mapping[str, str | float | int | None]
_PLAIN = re.compile(r"""[^&<>"'\n\r\t]*""").fullmatch
"""Values that stand in an attribute as they are; a page has a hundred thousand of them."""


@lru_cache(maxsize=65536)
def number(value: float) -> str:
    """Return a length in px with at most two decimals and no trailing zeros."""
    rounded = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if rounded == "-0" else rounded


def _attribute(name: str, value: str | float | int) -> str:
    if name == "style" or name.startswith("on"):
        raise ValueError(f"attribute {name!r} is not allowed in a picture")
    shown = value if isinstance(value, str) else number(float(value))
    return f' {name}="{shown}"' if _PLAIN(shown) else f" {name}={quoteattr(shown)}"


def tag(name: str, attrs: Attrs, *children: str) -> str:
    """Return one element; attribute values are escaped, children are taken as finished markup."""
    opened = "".join(_attribute(key, value) for key, value in attrs.items() if value is not None)
    inner = "".join(children)
    return f"<{name}{opened}>{inner}</{name}>" if inner else f"<{name}{opened}/>"


def words(content: str) -> str:
    """Return text escaped for use between tags."""
    return escape(content)


def label(x: float, y: float, content: str, css: str, anchor: str | None = None) -> str:
    """Return a text element with its baseline at (x, y) px."""
    attrs: dict[str, str | float | int | None] = {"class": css, "x": x, "y": y, "text-anchor": anchor}
    return tag("text", attrs, words(content))


def rect(x: float, y: float, width: float, height: float, css: str) -> str:
    """Return a rectangle; all measures in px."""
    return tag("rect", {"class": css, "x": x, "y": y, "width": width, "height": height})


def line(start: Point, end: Point, css: str) -> str:
    """Return a straight line between two points in px."""
    return tag("line", {"class": css, "x1": start[0], "y1": start[1], "x2": end[0], "y2": end[1]})


def straight(points: Iterable[Point], *, closed: bool) -> str:
    """Return path data through the points by straight lines."""
    joined = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{joined}Z" if closed else f"M{joined}"


def smooth(points: Polygon, *, closed: bool) -> str:
    """Return path data of a Catmull-Rom curve through the points, as cubic Bezier pieces."""
    count = len(points)
    pieces = [f"M{number(points[0][0])} {number(points[0][1])}"]
    for i in range(count if closed else count - 1):
        before, here, there, after = (_neighbour(points, i + k, closed=closed) for k in (-1, 0, 1, 2))
        controls = (
            here[0] + (there[0] - before[0]) / 6,
            here[1] + (there[1] - before[1]) / 6,
            there[0] - (after[0] - here[0]) / 6,
            there[1] - (after[1] - here[1]) / 6,
            there[0],
            there[1],
        )
        pieces.append("C" + " ".join(number(value) for value in controls))
    return "".join(pieces) + ("Z" if closed else "")


def _neighbour(points: Polygon, index: int, *, closed: bool) -> Point:
    if closed:
        return points[index % len(points)]
    return points[min(max(index, 0), len(points) - 1)]


def picture(width: float, height: float, css: str, title: str, *body: str) -> str:
    """Return a whole drawing that is read aloud as ``title`` alone; its size in px is its view box."""
    return _whole((width, height), css, title, "img", body)


def grouped_picture(width: float, height: float, css: str, title: str, *body: str) -> str:
    """Return a whole drawing named ``title`` whose named parts and links are read and reached one by one."""
    return _whole((width, height), css, title, "group", body)


def _whole(size: Point, css: str, title: str, role: str, body: tuple[str, ...]) -> str:
    width, height = size
    attrs: dict[str, str | float | int | None] = {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": css,
        "viewBox": f"0 0 {number(width)} {number(height)}",
        "width": width,
        "height": height,
        "role": role,
        "aria-label": title,
    }
    return tag("svg", attrs, tag("title", {}, words(title)), *body)
