"""One athlete's effect drawn to what others found and to what is published, with a weak prior on how far people differ:
an estimate of nil spread would make personal effects vanish, a free one would let them run wild.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import Floats
from coaching.science.normal import cdf

SPREADS = 200
REACH = 8.0
"""Spreads are counted up to so many scales; the half-Cauchy prior leaves 8 % above, which data thin out."""


@dataclass(frozen=True)
class Prior:
    """What is known before anybody tries: the mean effect and its sd (infinite: nothing), and the scale of the spread
    between people; all in the outcome's unit.
    """

    mean: float
    mean_sd: float
    spread_scale: float


@dataclass(frozen=True)
class Shrunk:
    """Posterior of each effect, (N,), in the outcome's unit, and of the spread."""

    mean: Floats
    sd: Floats
    spread: float  # posterior mean
    common: float  # posterior mean of what all share


def at_spread(effect: Floats, se: Floats, spread: float, prior: Prior) -> tuple[Floats, Floats, float, float]:
    """Return the posterior where the spread is known.

    Parameters: effect, se (N,), se > 0; spread (at least 0); prior.
    Returns: mean and variance of each effect (N,), the mean of all, and the log of the evidence.
    Raises: nothing.
    Assumes: normal estimates and normal differences between people.
    Source: Gelman et al. 2013, Bayesian Data Analysis, 5.4; tests/reference/test_trial_published.py.
    """
    precision = 1.0 / (se**2 + spread**2)
    before = 0.0 if np.isinf(prior.mean_sd) else 1.0 / prior.mean_sd**2
    total = float(precision.sum()) + before
    common = (float(precision @ effect) + before * prior.mean) / total
    own = spread**2 * precision
    mean = own * effect + (1.0 - own) * common
    var = own * se**2 + (1.0 - own) ** 2 / total
    quadratic = float(precision @ (effect - common) ** 2) + before * (common - prior.mean) ** 2
    log_evidence = 0.5 * (float(np.log(precision).sum()) - np.log(total) - quadratic)
    return mean, var, common, log_evidence


def shrink(effect: Floats, se: Floats, prior: Prior) -> Shrunk:
    """Return the posterior with the spread unknown: half-Cauchy, summed over a grid.

    Parameters: effect, se (N,), se > 0; prior.
    Returns: Shrunk.
    Raises: nothing.
    Assumes: as `at_spread`.
    Source: Gelman 2006, Bayesian Analysis 1:515-533 (half-Cauchy); tests/reference/test_trial_published.py.
    """
    grid = (np.arange(SPREADS) + 0.5) / SPREADS * REACH * prior.spread_scale
    parts = [at_spread(effect, se, float(spread), prior) for spread in grid]
    log_weight = np.array([part[3] for part in parts]) - np.log1p((grid / prior.spread_scale) ** 2)
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    means = np.array([part[0] for part in parts])
    mean = weight @ means
    var = weight @ np.array([part[1] for part in parts]) + weight @ (means - mean) ** 2
    common = float(weight @ np.array([part[2] for part in parts]))
    return Shrunk(mean, np.sqrt(var), float(weight @ grid), common)


def pooled_se(difference: Floats, exposure: float, pair_sd: float, prior_pairs: float = 4.0) -> float:
    """Return the standard error of an effect from few pairs, their scatter pooled with what was expected of it.

    Parameters: difference (P,), no NaN; exposure (mean of the pairs, > 0); pair_sd (expected, outcome's unit);
        prior_pairs (how many pairs that is worth).
    Returns: outcome's unit at full exposure.
    Raises: nothing.
    Assumes: normal scatter.
    Source: judgement: pooled variance with a stated weight; tests/unit/test_trial_science.py.
    """
    pairs = int(difference.size)
    squares = prior_pairs * pair_sd**2 + float(((difference - difference.mean()) ** 2).sum())
    return float(np.sqrt(squares / (prior_pairs + pairs - 1) / pairs) / exposure)


def chance_beyond(mean: float, sd: float, limit: float) -> float:
    """Return the chance that the effect lies below a limit.

    Parameters: mean, sd (> 0), limit, all in the outcome's unit.
    Returns: 0-1.
    Raises: nothing.
    Assumes: a normal posterior.
    Source: normal integral; tests/unit/test_trial_science.py.
    """
    return float(cdf(np.array([(limit - mean) / sd]))[0])
