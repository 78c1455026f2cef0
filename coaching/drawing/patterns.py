"""Fill patterns for the state of skin: a state is a pattern beside a word, never a colour.

Pink is dots, glassy upright lines, shedding slanted dashes, ridge level bars, soft rings of short waves.
A split that is closing is a grid, so that it is not taken for the slanted lines of days without answers.
"""

from __future__ import annotations

from coaching.drawing.svg import tag

#: State code: tile width and height in px, path data, class of the path.
_TILES: dict[str, tuple[float, float, str, str]] = {
    "pink": (5.0, 5.0, "M1.25 1.25h.01M3.75 3.75h.01", "pat-dot"),
    "glassy": (4.0, 4.0, "M2 0V4", "pat-line"),
    "shedding": (7.0, 7.0, "M0.8 4.6L4.4 1M4.6 6.6L6.6 4.6", "pat-line"),
    "ridge": (6.0, 5.0, "M0 2.5H6", "pat-line"),
    "soft": (8.0, 6.0, "M0 3Q2 0.6 4 3T8 3", "pat-line"),
    "closing": (3.0, 3.0, "M1.5 0V3M0 1.5H3", "pat-line"),
    "thinned": (3.6, 3.6, "M1.8 1.8h.01", "pat-dot"),
}

PATTERNED: frozenset[str] = frozenset(_TILES)


def fill_of(state: str, key: str) -> str | None:
    """Return the fill attribute for a state inside the drawing named ``key``; none when it has no pattern."""
    return f"url(#{key}-{state})" if state in _TILES else None


def pattern_defs(states: frozenset[str], key: str) -> str:
    """Return the definitions that the given states need; ids start with ``key``, unique in a page."""
    return tag("defs", {}, *(_pattern(state, key) for state in sorted(states & PATTERNED)))


def _pattern(state: str, key: str) -> str:
    width, height, path, css = _TILES[state]
    attrs: dict[str, str | float | int | None] = {
        "id": f"{key}-{state}",
        "width": width,
        "height": height,
        "patternUnits": "userSpaceOnUse",
    }
    ground = tag("rect", {"class": "pat-ground", "width": width, "height": height})
    return tag("pattern", attrs, ground, tag("path", {"class": css, "d": path}))
