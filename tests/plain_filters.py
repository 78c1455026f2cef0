"""The filters written out once more for tests: one athlete and one component at a time, with matrices of a textbook.

Durbin & Koopman 2012, 4.3: a = T a + c, P = T P T' + Q; a reading z'a + shift. A rating is an interval of a normal
(Johnson, Kotz & Balakrishnan 1994, 13.10.1, by scipy.stats), its noise widened where it surprises.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

Array = np.ndarray


@dataclass
class Plain:
    """One component: its state, and the logarithm of how likely its ratings were."""

    mean: Array
    cov: Array
    log_likelihood: float = 0.0


def rated(state: Plain, z: Array, shift: float, answer: tuple[float, float], report: tuple[float, float]) -> None:
    """Take in one rating and its half step, by report sd and degrees of freedom of its tails."""
    (rating, half), (report_sd, tail_df) = answer, report
    if np.isnan(rating):
        return
    level, var = float(z @ state.mean) + shift, float(z @ state.cov @ z)
    surprise = (rating - level) ** 2 / (var + report_sd**2)
    total = var + report_sd**2 * max(1.0, (tail_df + surprise) / (tail_df + 1.0))
    sd = np.sqrt(total)
    low = -np.inf if rating == 0 else (rating - half - level) / sd
    high = np.inf if rating == 10 else (rating + half - level) / sd
    law = stats.truncnorm(low, high, loc=level, scale=sd)
    gain = state.cov @ z / total
    state.mean = state.mean + gain * (law.mean() - level)
    state.cov = state.cov - np.outer(gain, gain) * (total - law.var())
    state.log_likelihood += float(np.log(stats.norm.cdf(high) - stats.norm.cdf(low)))


def carried(state: Plain, transition: Array, push: Array, noise: Array) -> None:
    """One day on."""
    state.mean = transition @ state.mean + push
    state.cov = transition @ state.cov @ transition.T + noise


def mixed(
    parts: Sequence[Plain], prior: Sequence[float], of: Callable[[Plain], tuple[float, float]]
) -> tuple[Array, float, float]:
    """Weights, mean and variance of a bank."""
    raised = np.array([np.log(w) + part.log_likelihood for part, w in zip(parts, prior, strict=True)])
    weight = np.exp(raised - raised.max())
    weight /= weight.sum()
    mean, var = np.array([of(part) for part in parts]).T
    middle = float((weight * mean).sum())
    return weight, middle, float((weight * (var + (mean - middle) ** 2)).sum())
