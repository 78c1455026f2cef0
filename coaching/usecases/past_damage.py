"""What open damage left of each past day's chance, read off the looks, so that the course shows the days it took."""

from __future__ import annotations

from datetime import date, timedelta

from coaching.rules.facts import AthleteFacts, EpisodeFact

NOTHING = frozenset({"open", "closing"})


def past_factors(facts: AthleteFacts, first: date, days: int, taped_share: float) -> list[float]:
    """Factor 0-1 for each of `days` days from `first` on.

    Open and closing damage leaves nothing of an unhurt start; rimmed and thinned damage, closed under, leaves what tape
    does. Several episodes multiply.
    """
    factors = [1.0] * days
    for episode in facts.episodes:
        for n in range(max(0, (episode.noticed_on - first).days), days):
            factors[n] *= _factor(_stage_on(episode, first + timedelta(days=n)), taped_share)
    return factors


def _stage_on(episode: EpisodeFact, day: date) -> str:
    """As last looked at on or before the day; open where nobody had looked yet."""
    return next((look.stage for look in reversed(episode.looks) if look.day <= day), "open")


def _factor(stage: str, taped_share: float) -> float:
    if stage in NOTHING:
        return 0.0
    return 1.0 if stage == "sound" else taped_share
