"""The stages of a split as a cut seen from the side, small enough for a control.

The notch of ``closing`` is filled from below and so shallower than ``open``; ``rimmed`` has raised
edges over a closed floor; ``thinned`` is a shallow hollow; ``sound`` a level line.
"""

from __future__ import annotations

from coaching.drawing.svg import picture, tag

_PROFILES: dict[str, tuple[tuple[str, str], ...]] = {
    "open": (("cut-edge", "M4 10H20L30 27L40 10H56"), ("cut-deep", "M23.2 15.5L30 27L36.8 15.5Z")),
    "closing": (("cut-edge", "M4 10H20L26 20H34L40 10H56"), ("cut-fill", "M26 20H34L30 27Z")),
    "rimmed": (("cut-edge", "M4 12H17Q21 12 23 8T26 12H34Q35 12 37 8T43 12H56"),),
    "thinned": (("cut-edge", "M4 10H18Q30 19 42 10H56"),),
    "sound": (("cut-edge", "M4 10H56"),),
}
STAGES: tuple[str, ...] = tuple(_PROFILES)


def draw_stage(stage: str, title: str) -> str:
    """Return the profile of one stage, 60 by 32 px; the dotted line is the living layer below.

    Raises ValueError for a stage that does not exist.
    """
    if stage not in _PROFILES:
        raise ValueError(f"stage {stage!r} is not one of {', '.join(STAGES)}")
    floor = tag("path", {"class": "cut-floor", "d": "M4 28H56"})
    return picture(
        60, 32, "cut", title, floor, *(tag("path", {"class": css, "d": d}) for css, d in _PROFILES[stage])
    )
