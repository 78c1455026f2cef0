"""Two small hands with a ring round each place that is not sound, for paper: black, white and patterns only."""

from __future__ import annotations

import re
from collections.abc import Iterable

from coaching.drawing.hands import STATES, SiteMark, draw_one_hand
from coaching.drawing.zones import HANDS, all_sites, parse_site
from coaching.sheets.values import SpotOnHand

INK = (
    "<style>.hand-outline{fill:none;stroke:#000;stroke-width:4;stroke-linejoin:round}"
    ".zone{fill:none;stroke:#777;stroke-width:1.4}"
    ".hand-ring{fill:none;stroke:#000;stroke-width:6}.mark{stroke:#000;stroke-width:1.6}.mark-open{fill:#000}"
    ".mark-rimmed{fill:#fff}.pat-ground{fill:#fff}.pat-line{fill:none;stroke:#000;stroke-width:0.9}"
    ".pat-dot{fill:none;stroke:#000;stroke-width:1.5;stroke-linecap:round}</style>"
)
"""The pages' sheet of styles does not reach a printed drawing, so it brings its own."""
_UNSEEN = re.compile(
    r'<path class="(?:hand-line|zone zone-(?!tip-crease|middle-crease)[a-z-]+)" d="[^"]*"/>|<text[^>]*/>'
)
"""Zones that a small hand does not show: dropped, because they would be most of its size."""
KNOWN = frozenset(site.code for site in all_sites())


def small_hands(spots: Iterable[SpotOnHand], names: dict[str, str]) -> list[dict[str, str]]:
    """Left and right hand, each as `svg` and `alt`; `names` gives "left" and "right" in the reader's language.

    A spot on a site or in a state that cannot be drawn is left out here; its words stand beside the drawing.
    """
    known = [s for s in spots if s.site in KNOWN and s.state in STATES]
    return [_hand(hand, known, names["left" if hand == "L" else "right"]) for hand in HANDS]


def _hand(hand: str, spots: list[SpotOnHand], name: str) -> dict[str, str]:
    own = [spot for spot in spots if parse_site(spot.site).hand == hand]
    marks = {spot.site: SiteMark(spot.state, spot.spoken, kind=spot.kind) for spot in own}
    drawn = draw_one_hand(hand, marks, labels={"title": "", "left": "", "right": ""}, key=f"paper-{hand}")
    alt = "; ".join(spot.spoken for spot in own)
    return {
        "svg": _UNSEEN.sub("", drawn).replace("<title/>", INK, 1),
        "alt": f"{name}: {alt}" if alt else name,
    }
