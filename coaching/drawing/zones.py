"""The named zones of both hands: which exist, and how their codes are read.

A site is a hand, a digit and a zone (``R-middle-tip-crease``), or a hand and one of the zones that
belong to the palm (``L-palm-callus``). The thumb has two pads and two creases; it has no middle.
"""

from __future__ import annotations

from dataclasses import dataclass

HANDS: tuple[str, ...] = ("L", "R")
DIGITS: tuple[str, ...] = ("thumb", "index", "middle", "ring", "little")
#: Zones that lie along a digit, from its end to the palm.
ALONG: tuple[str, ...] = (
    "nail-rim",
    "tip",
    "tip-crease",
    "middle",
    "middle-crease",
    "base",
    "base-crease",
)
AROUND: tuple[str, ...] = ("thumb-side", "little-side", "back")
PALM: tuple[str, ...] = ("palm-callus", "palm-heel", "web")
PADS: frozenset[str] = frozenset({"tip", "middle", "base"})
CREASES: frozenset[str] = frozenset({"tip-crease", "middle-crease", "base-crease"})
_NOT_ON_A_THUMB: frozenset[str] = frozenset({"middle", "middle-crease"})


@dataclass(frozen=True, order=True)
class Site:
    """One place on a hand; ``digit`` is empty for the zones of the palm."""

    hand: str
    digit: str
    zone: str

    @property
    def code(self) -> str:
        """The code used in files, addresses and the API."""
        return "-".join(part for part in (self.hand, self.digit, self.zone) if part)


def along(digit: str) -> tuple[str, ...]:
    """Return the zones along a digit, ordered from its end to the palm."""
    if digit not in DIGITS:
        raise ValueError(f"digit {digit!r} is not one of {', '.join(DIGITS)}")
    return tuple(zone for zone in ALONG if digit != "thumb" or zone not in _NOT_ON_A_THUMB)


def zones_of(digit: str) -> tuple[str, ...]:
    """Return every zone of a digit: those along it, its two sides and its back."""
    return along(digit) + AROUND


def sites_of_hand(hand: str) -> tuple[Site, ...]:
    """Return every site of one hand (``L`` or ``R``): digits from thumb to little, then the palm."""
    if hand not in HANDS:
        raise ValueError(f"hand {hand!r} is neither L nor R")
    fingers = tuple(Site(hand, digit, zone) for digit in DIGITS for zone in zones_of(digit))
    return fingers + tuple(Site(hand, "", zone) for zone in PALM)


def all_sites() -> tuple[Site, ...]:
    """Return every site of both hands, the left one first."""
    return tuple(site for hand in HANDS for site in sites_of_hand(hand))


_BY_CODE: dict[str, Site] = {site.code: site for site in all_sites()}


def parse_site(code: str) -> Site:
    """Return the site that a code names.

    Raises ValueError, naming the code, when no such place exists (``R-thumb-middle``, a misspelt digit).
    """
    try:
        return _BY_CODE[code]
    except (KeyError, TypeError):
        raise ValueError(f"site {code!r} does not exist") from None
