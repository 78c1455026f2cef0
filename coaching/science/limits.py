"""Limits of one's own, learned from "did skin limit you?": how much reserve is enough, how damp is too damp, and what
these two miss.

Three shifts of each athlete, believed to be normal together. An answer weighs a few points of that belief and leaves
its mean and covariance; that keeps what an answer cannot tell apart. Where a version does not learn the first two,
`readiness` learns the last alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.inputs import Floats
from coaching.science.normal import cdf
from coaching.science.quantities import Parameters

AXES = ("personal_reserve_limit_pt", "personal_damp_limit_pt", "personal_shift_logit")
"""A shift above nil: less reserve is enough, damper skin still suits, better odds."""
PAIRS = ((0, 0), (1, 0), (1, 1), (2, 0), (2, 1), (2, 2))
SIZE = len(AXES) + len(PAIRS)
_ROOT = np.sqrt(3.0)
_ONE = ((-_ROOT, 1.0 / 6.0), (0.0, 2.0 / 3.0), (_ROOT, 1.0 / 6.0))
POINTS = np.array([(a, b, c) for a, _ in _ONE for b, _ in _ONE for c, _ in _ONE])
WEIGHTS = np.array([u * v * w for _, u in _ONE for _, v in _ONE for _, w in _ONE])
"""Gauss-Hermite points over three axes (Abramowitz & Stegun 1964, 25.10), and their weights."""


@dataclass(frozen=True)
class Conditions:
    """How days stand to each limit before any shift, of any shape; everything not known is in the sds."""

    reserve_pt: Floats  # above the limit
    reserve_sd: Floats
    damp_pt: Floats  # below the damp limit
    damp_sd: Floats
    dry: Floats  # chance of too dry
    soft: Floats  # chance of not glassy


def learns(p: Parameters) -> bool:
    """Return whether a version learns limits of their own, or one shift of the odds alone.

    Parameters: p.
    Returns: bool.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_personal_limits.py.
    """
    return p.spread(AXES[0]) > 0.0 and p.spread(AXES[1]) > 0.0


def prior(athletes: int, p: Parameters) -> Floats:
    """Return what is believed of the shifts before any answer.

    Parameters: athletes (count); p.
    Returns: (SIZE, N), three means, then the lower triangle of their covariance row by row.
    Raises: nothing.
    Assumes: shifts are normal over the squad, independent of each other, about what the register says.
    Source: assumption; tests/unit/test_personal_limits.py.
    """
    cov = [p.spread(AXES[i]) ** 2 if i == j else 0.0 for i, j in PAIRS]
    return np.array([*(p[name] for name in AXES), *cov])[:, None] * np.ones((1, athletes))


def told(answer: Floats, day: Conditions, before: Floats, p: Parameters) -> Floats:
    """Return what is believed of the shifts after one day's answers.

    Parameters: answer (M,), 1 limited, 0 not; day (of the M athletes, (M,)); before (SIZE, M), as `prior`; p.
    Returns: (SIZE, M).
    Raises: nothing.
    Assumes: a small share of answers are slips; the shifts stay near normal.
    Source: Bayes' rule by moments (assumed-density filtering, as Saerkkae 2013, 6.2);
        tests/unit/test_personal_limits.py.
    """
    shifts = at_points(before, POINTS)
    enough = cdf((day.reserve_pt + shifts[0]) / day.reserve_sd)
    suits = np.maximum(cdf((day.damp_pt + shifts[1]) / day.damp_sd) - day.dry, 0.0)
    odds = np.exp(shifts[2])
    chance = enough * suits * day.soft
    slip = p["answer_slip_frac"]
    fine = slip + (1.0 - 2.0 * slip) * chance * odds / (1.0 - chance + chance * odds)
    likely = WEIGHTS[:, None] * np.where(answer > 0.5, 1.0 - fine, fine)
    weight = likely / ordered_sum(likely)
    mean = [ordered_sum(weight * shift) for shift in shifts]
    apart = [shift - middle for shift, middle in zip(shifts, mean, strict=True)]
    cov = [ordered_sum(weight * apart[i] * apart[j]) for i, j in PAIRS]
    return np.stack([*mean, *cov])


def at_points(belief: Floats, points: Floats) -> Floats:
    """Return the shifts at standard normal points.

    Parameters: belief (SIZE, N); points (K, axes), scores.
    Returns: (axes, K, N), in the unit of each axis.
    Raises: nothing.
    Assumes: nothing.
    Source: Cholesky's factor written out, Golub & Van Loan 1996, 4.2; tests/unit/test_personal_limits.py.
    """
    mean, cov = belief[: len(AXES)], belief[len(AXES) :]
    l00 = np.sqrt(np.maximum(cov[0], 0.0))
    safe = np.where(l00 > 0.0, l00, 1.0)
    l10, l20 = cov[1] / safe, cov[3] / safe
    l11 = np.sqrt(np.maximum(cov[2] - l10 * l10, 0.0))
    l21 = (cov[4] - l20 * l10) / np.where(l11 > 0.0, l11, 1.0)
    l22 = np.sqrt(np.maximum(cov[5] - l20 * l20 - l21 * l21, 0.0))
    a, b, c = (points[:, k, None] for k in range(len(AXES)))
    return np.stack([mean[0] + l00 * a, mean[1] + l10 * a + l11 * b, mean[2] + l20 * a + l21 * b + l22 * c])
