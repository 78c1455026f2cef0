"""What a trial can show, said before it begins."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from coaching.science.inputs import Floats
from coaching.science.trial_exact import ALIKE, ALPHA, LEAST_PAIRS
from coaching.science.trial_orders import subsets

DRAWS = 1500
STEPS = np.arange(0.0, 6.01, 0.1)
"""Effects tried, in sds of the difference of a pair."""
ENOUGH = 0.8
"""A trial is said to show what it would show in four of five."""


@cache
def _found(pairs: int) -> Floats:
    """Share of trials that claim the effect, by step of `STEPS`: the same draws for every step, so that it rises."""
    noise = np.random.Generator(np.random.PCG64(20261128)).standard_normal((DRAWS, pairs))
    turned = subsets(pairs)[1:].astype(float)
    total, size = noise @ turned.T, turned.sum(axis=1)
    allowed = int(ALPHA / 2 * 2**pairs + ALIKE)  # orders as high as the one seen, itself included
    if pairs < LEAST_PAIRS or allowed < 1:
        return np.zeros(STEPS.size)
    # The effect is claimed while fewer than `allowed` subset means are not above nil.
    means = np.partition(total / size, allowed - 1, axis=1)[:, allowed - 1]
    found: Floats = np.array([np.mean(means + step > 0) for step in STEPS])
    return found


@dataclass(frozen=True)
class Exposure:
    """By how much of the full effect the arms of a pair will differ: kinds of skin by weight, mean and sd of each.
    `grain`: the step in which means of answers move, outcome's unit: whole numbers over five days move by fifths.
    """

    weight: tuple[float, ...] = (1.0,)
    mean: tuple[float, ...] = (1.0,)
    sd: tuple[float, ...] = (0.0,)
    grain: float = 0.0


WHOLE = Exposure()
NIL = 0.4
"""A pair that differs by less than this share of a grain comes out as nil, and shows nothing: half where both blocks
were answered alike often, less where not (judgement, held to account by tests/trials/test_simulated.py).
"""


def _nil(pairs: int, grain: float) -> float:
    """What nil pairs cost, outcome's unit. With six pairs one of them ends a claim; with more others outweigh it."""
    return NIL * grain / max(1, int(ALPHA / 2 * 2**pairs + ALIKE))


def power(effect: float, pairs: int, pair_sd: float, exposure: Exposure = WHOLE) -> float:
    """Return the chance that a trial shows an effect of that size, in the direction it has.

    Parameters: effect (outcome's unit); pairs (count); pair_sd (sd of the difference of a pair, > 0, same unit);
        exposure.
    Returns: 0-1; nil under six pairs.
    Raises: ValueError where there are more pairs than can be counted.
    Assumes: normal scatter, alike in all pairs, but for the grain.
    Source: simulation of the exact test, seeded; for six pairs the normal integral to the sixth power;
        tests/unit/test_trial_science.py.
    """
    size, mean, sd = abs(effect), np.array(exposure.mean), np.array(exposure.sd)
    shown = np.maximum(np.maximum(mean, 0.0) * size - _nil(pairs, exposure.grain), 0.0)
    steps = shown / np.hypot(pair_sd, size * sd)
    return float(np.array(exposure.weight) @ np.interp(steps, STEPS, _found(pairs)))


def detectable(pairs: int, pair_sd: float, exposure: Exposure = WHOLE, chance: float = ENOUGH) -> float:
    """Return the smallest effect that the trial would show with that chance.

    Parameters: as `power`; chance (0-1).
    Returns: outcome's unit; infinite where no effect of up to twenty sds would be.
    Raises: as `power`.
    Assumes: as `power`; more effect is never shown more seldom.
    Source: as `power`.
    """
    low, high = 0.0, 20.0 * pair_sd
    if power(high, pairs, pair_sd, exposure) < chance:
        return float("inf")
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if power(middle, pairs, pair_sd, exposure) >= chance else (middle, high)
    return high


def pair_sd(daily: Floats, read_days: int, apart_days: int, prior_sd: float, prior_pairs: float = 4.0) -> float:
    """Return how much the means of two blocks would differ if nothing were changed.

    Parameters: daily (T,) outcome by day before the trial, NaN not known; read_days (count, of a block);
        apart_days (count, from one block's first read day to the next's); prior_sd (outcome's unit);
        prior_pairs (how many own pairs the prior is worth).
    Returns: outcome's unit, > 0.
    Raises: nothing.
    Assumes: the days before are like the days to come.
    Source: judgement: pooled variance with a stated weight; tests/unit/test_trial_science.py.
    """
    gaps = []
    for begin in range(0, daily.size - apart_days - read_days + 1, 2 * apart_days):
        blocks = (daily[begin : begin + read_days], daily[begin + apart_days : begin + apart_days + read_days])
        if all(np.isfinite(block).sum() * 2 >= read_days for block in blocks):
            gaps.append(float(np.nanmean(blocks[0]) - np.nanmean(blocks[1])))
    squares = prior_pairs * prior_sd**2 + sum(gap**2 for gap in gaps)
    return float(np.sqrt(squares / (prior_pairs + len(gaps))))
