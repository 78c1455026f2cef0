"""Sites of the hand, and the kinds of hold that hurt them.

Which damage stops which hold is common practice, no source: a split tip ends crimping, a torn middle or base
pad ends jugs, swings and slopers, sides and backs end cracks.
"""

from __future__ import annotations

from coaching.rules.facts import EntryFact, EpisodeFact

KINDS = ("crimp", "pocket", "sloper", "jug", "pinch", "swing", "crack")
SITE_NOT_KNOWN = "site not known"
CREASES = frozenset({"tip-crease", "middle-crease", "base-crease"})
SIDES = frozenset({"thumb-side", "little-side", "back"})
DIGITS = frozenset({"thumb", "index", "middle", "ring", "little"})
LIFTED = frozenset({"flapper", "tear", "blister"})

_BY_ZONE: dict[str, tuple[str, ...]] = {
    "tip": ("crimp", "pocket"),
    "tip-crease": ("crimp", "pocket"),
    "middle-crease": ("crimp", "pocket", "jug"),
    "middle": ("jug", "pocket"),
    "base": ("jug", "swing", "sloper"),
    "base-crease": ("jug", "swing", "sloper"),
    "palm-callus": ("jug", "swing", "sloper"),
    "palm-heel": ("sloper",),
    "web": ("crack", "pinch"),
    "thumb-side": ("crack",),
    "little-side": ("crack",),
    "back": ("crack",),
    "nail-rim": ("crimp", "crack"),
}


def digit_of(site: str) -> str | None:
    """Hand and digit of a site, such as `L-index`; None where the site lies on the palm or the web."""
    parts = site.split("-")
    return "-".join(parts[:2]) if len(parts) > 2 and parts[1] in DIGITS else None


def zone_of(site: str) -> str:
    """Zone of a site: `L-index-tip` gives `tip`, `L-palm-callus` gives `palm-callus`."""
    parts = site.split("-")
    return "-".join(parts[2:] if digit_of(site) else parts[1:])


def hurt_by(site: str, kind: str) -> tuple[str, ...]:
    """Kinds of hold to keep damage of that kind on that site away from; a site that nobody knows: all of
    them.
    """
    zone = zone_of(site)
    if zone not in _BY_ZONE:
        return KINDS
    if zone == "middle" and kind in LIFTED:
        return ("jug", "swing", "sloper")
    holds = _BY_ZONE[zone]
    if zone == "tip" and kind in LIFTED:
        holds += ("sloper",)
    if digit_of(site) in ("L-thumb", "R-thumb") and zone not in SIDES:
        holds = tuple(dict.fromkeys(("pinch", *holds)))
    return holds


def bears_on(entry: EntryFact, episode: EpisodeFact) -> bool:
    """Whether damage there stands in the way of an event, by the sites it needs and holds it asks for."""
    if entry.needs_sites and not any(near(episode.site, site) for site in entry.needs_sites):
        return False
    return not entry.styles or bool(set(entry.styles).intersection(hurt_by(episode.site, episode.kind)))


def near(site: str, other: str) -> bool:
    """Whether care on one site reaches the other: the same site, or the same finger."""
    digit = digit_of(site)
    return site == other or (digit is not None and digit == digit_of(other))
