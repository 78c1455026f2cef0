"""How much damage matters for an entry, by the sites and holds that the event asks for."""

from __future__ import annotations

from coaching.rules.facts import EntryFact, EpisodeFact
from coaching.rules.holds import KINDS, hurt_by, near

HALF_NEEDED_WEIGHT = 0.4
"""Judgement: the finger is needed but not those holds, or another site that the same holds hurt: a hand is used
whole.
"""
NOT_NEEDED_WEIGHT = 0.1
"""Judgement: neither the finger nor the holds are asked for; it still can be caught, and it is in the mind."""


def weight(entry: EntryFact, episode: EpisodeFact) -> float:
    """How much an episode matters for an entry, 0-1.

    1 where the event needs the site, or says neither which sites nor which holds it needs. Where it names sites,
    the holds it asks for are those it names, else those that damage of the named sites would end.
    """
    if episode.site in entry.needs_sites:
        return 1.0
    asked = _holds_asked(entry, episode.kind)
    hurts = not asked or bool(asked.intersection(hurt_by(episode.site, episode.kind)))
    if not entry.needs_sites:
        return 1.0 if hurts else NOT_NEEDED_WEIGHT
    finger = any(near(episode.site, site) for site in entry.needs_sites)
    if finger and hurts:
        return 1.0
    return HALF_NEEDED_WEIGHT if finger or hurts else NOT_NEEDED_WEIGHT


def _holds_asked(entry: EntryFact, kind: str) -> set[str]:
    """Kinds of hold that the event names; those of the sites it needs where it names none that we know."""
    named = set(KINDS).intersection(entry.styles)
    return named or {hold for site in entry.needs_sites for hold in hurt_by(site, kind)}
