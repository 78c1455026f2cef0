"""Readiness of entries: a competition's least day, a trip's day one and good days, and their parts."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coaching.science.contributions import episode_parts, parts, resting, usual_means
from coaching.science.entry_case import Case, chance_of, least
from coaching.science.healing import Slices
from coaching.science.healing_times import PACES
from coaching.science.inputs import Bools, Episodes, Floats
from coaching.science.nodes import node_mean, node_quantiles
from coaching.science.outputs import EntryChance
from coaching.science.readiness import PINK, at_nodes


def good_days(nodes: Floats, within: Bools, trip: Bools) -> tuple[Floats, Floats]:
    """Return the days of each trip and the 50, 10 and 90 % points of its good days.

    Parameters: nodes (COUNT, M, D), chance of each day at each node; within (M, D); trip (M,).
    Returns: days (M,), NaN for a competition; (3, M): middle, low, high.
    Raises: nothing.
    Assumes: days are independent given the node (Poisson-binomial count).
    Source: Wang 1993 (Poisson-binomial recursion); tests/unit/test_entries.py.
    """
    points = np.full((3, trip.shape[0]), np.nan)
    days = np.where(trip, within.sum(axis=1).astype(np.float64), np.nan)
    if not trip.any():
        return days, points
    chance = np.where(within, nodes, 0.0)[:, trip]
    count = np.zeros((*chance.shape[:2], chance.shape[2] + 1))
    count[..., 0] = 1.0
    for day in range(chance.shape[2]):
        good = chance[..., day : day + 1]
        moved = count * (1.0 - good)
        moved[..., 1:] = moved[..., 1:] + count[..., :-1] * good
        count = moved
    reached = np.cumsum(node_mean(count), axis=1)
    for k, level in enumerate((0.5, 0.1, 0.9)):
        points[k, trip] = (reached >= level - 1e-12).argmax(axis=1)
    return days, points


def protected(c: Case, healed: Slices) -> Floats:
    """Return the chance that all damage that matters is usable taped on the first day.

    Parameters: c; healed (PACES, E, H from the origin).
    Returns: (M,), 0-1; 1 with no damage.
    Raises: nothing.
    Assumes: episodes are independent given the athlete's pace.
    Source: judgement; tests/unit/test_entries.py.
    """
    total = np.ones((PACES, c.frame.athlete.shape[0]))
    first = c.frame.day[:, 0] - c.state.origin
    for j in range(c.frame.episode.shape[1]):
        usable = healed.usable[:, c.frame.episode[:, j], first]
        total = total * np.where(c.frame.weight[:, j] > 0, usable, 1.0)
    return node_mean(total)


def entry_chance(c: Case, healed: Slices) -> EntryChance:
    """Return readiness of entries and what it is made of.

    Parameters: c; healed (PACES, E, H from the origin).
    Returns: EntryChance.
    Raises: nothing.
    Assumes: as its parts.
    Source: definition of readiness (glossary); tests/unit/test_entries.py.
    """
    nodes = at_nodes(c.panel, c.damage(), c.p)
    base, at = least(node_mean(nodes), c.frame.within, c.frame.trip)
    low, high = node_quantiles(nodes[:, np.arange(base.shape[0]), at], (0.1, 0.9))
    days, points = good_days(nodes, c.frame.within, c.frame.trip)
    usual = usual_means(c)
    unhurt = np.ones((PACES, *c.frame.day.shape))
    return EntryChance(
        p=base,
        low=np.minimum(low, base),
        high=np.maximum(high, base),
        good_of=days,
        good_p50=points[0],
        good_low=points[1],
        good_high=points[2],
        p_usual=chance_of(c, c.panel.with_means(**usual), unhurt),
        p_rest=resting(c),
        p_protected=protected(c, healed),
        parts=parts(c, base, usual),
        episode_parts=episode_parts(c, base, healed.usable.shape[1]),
    )


def with_pink(chance: EntryChance, episodes: Episodes) -> EntryChance:
    """Return readiness with the change that pink tips make as a part of its own.

    Parameters: chance; episodes (E), an athlete's pink tips one of them.
    Returns: EntryChance, its parts with `pink`.
    Raises: nothing.
    Assumes: at most one episode of pink tips an athlete.
    Source: bookkeeping; tests/unit/test_entries.py.
    """
    of_pink = np.where(episodes.kind == PINK, chance.episode_parts, 0.0)
    pink = of_pink.max(axis=1, initial=0.0)
    return replace(chance, parts=chance.parts | {"pink": pink})
