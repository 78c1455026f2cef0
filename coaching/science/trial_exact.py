"""Exact tests of an athlete's own trial, over the orders that could have been drawn and no others."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from coaching.science.inputs import Bools, Floats
from coaching.science.trial_orders import subsets

LEAST_PAIRS = 6
"""Fewer pairs cannot reach one in twenty whatever they show: 2 / 2^5 is more."""
ALPHA = 0.05
ALIKE = 1e-9
"""Two sums that differ by less are one: ratings are means of whole numbers."""


@dataclass(frozen=True)
class Exact:
    """What the pairs say of the effect, in the unit of the outcome, change less usual."""

    pairs: int
    assigned: float  # mean of the differences: the change as it was taken
    effect: float  # the same at full exposure, NaN where there was no contrast
    p_less: float  # one-sided: the change lowers the outcome
    p_more: float
    p_two: float
    low: float  # interval of `effect`
    high: float
    level: float  # how much the interval holds, 0-1; under six pairs less than 0.95

    @property
    def may_claim(self) -> bool:
        """Whether there are pairs enough for any claim, and this one would come by chance in one draw of twenty."""
        return self.pairs >= LEAST_PAIRS and self.p_two <= ALPHA


def smallest_p(pairs: int) -> float:
    """Return the smallest two-sided p that so many pairs can show.

    Parameters: pairs (count, at least 1).
    Returns: 1.
    Raises: nothing.
    Assumes: each of 2^P orders as likely as any other.
    Source: counting: one order and its mirror of 2^P; tests/reference/test_trial_published.py.
    """
    return float(min(1.0, 2.0 / 2**pairs))


def exact(difference: Floats, exposure: Floats | None = None, kept_back: float = 0.0) -> Exact:
    """Return the exact test and the interval that comes of turning it round.

    A draw that had turned the pairs F round would have given the mean with their signs changed; taking d e off each
    difference, it is at least as high as the one seen where sum_F difference <= d sum_F exposure. So p as a function
    of d counts subset ratios, and the interval ends on two of them (Hartigan 1969 for exposure 1).

    Parameters: difference (P,), no NaN; exposure (P,), difference in the share of the full effect that was in
        force, None all of it; below nil counts as nil; kept_back (0-1, share of the interval's chances of error that is
        kept back for an exposure that is known but roughly; `level` is still the one promised).
    Returns: Exact.
    Raises: ValueError for no pair or more than can be counted.
    Assumes: the outcome moves in proportion to the exposure and nothing else of the order; nothing about the shape
        of the scatter, about missed doses or about who missed them.
    Source: Fisher 1935, Hartigan 1969 (J Am Stat Assoc 64:1303-1317), Imbens and Rosenbaum 2005
        (J R Stat Soc A 168:109-126), from memory; tests/reference/test_trial_published.py.
    """
    pairs = int(difference.size)
    share = np.maximum(np.ones(pairs) if exposure is None else exposure, 0.0)
    turned = subsets(pairs)
    total, weight = turned @ difference, np.asarray(turned @ share, dtype=np.float64)
    p_more = float(np.mean(total <= ALIKE))
    p_less = float(np.mean(total >= -ALIKE))
    low, high, level = _interval(total[1:], weight[1:], pairs, kept_back)
    if p_more <= ALPHA / 2:  # that it does nothing is ruled out whatever the exposure was
        low = max(low, 0.0)
    if p_less <= ALPHA / 2:
        high = min(high, 0.0)
    seen = float(share.sum())
    assigned = float(difference.mean())
    effect = float(difference.sum() / seen) if seen > ALIKE else float("nan")
    return Exact(pairs, assigned, effect, p_less, p_more, min(1.0, 2.0 * min(p_less, p_more)), low, high, level)


def _interval(total: Floats, weight: Floats, pairs: int, kept_back: float) -> tuple[float, float, float]:
    """The widest steps of p that stay at 2.5 % or less on each side; at least one order is left out on each."""
    endless = np.where(total > ALIKE, np.inf, np.where(total < -ALIKE, -np.inf, 0.0))
    ratio = np.sort(np.where(weight > ALIKE, total / np.where(weight > ALIKE, weight, 1.0), endless))
    asked, left_out = (max(1, int(ALPHA / 2 * (1.0 - kept) * 2**pairs + ALIKE)) for kept in (0.0, kept_back))
    return float(ratio[left_out - 1]), float(ratio[-left_out]), 1.0 - 2.0 * asked / 2**pairs


@dataclass(frozen=True)
class OrderGap:
    """Differences of pairs in which the change came first, less those in which it came second."""

    gap: float  # NaN where all pairs went the same way
    p_two: float


def order_gap(difference: Floats, change_first: Bools) -> OrderGap:
    """Return whether it mattered which block came first, as it does where the change lingers.

    Parameters: difference (P,), no NaN; change_first (P,).
    Returns: OrderGap; p over every choice of which pairs went first, their number as it was.
    Raises: nothing.
    Assumes: an effect that does not depend on the order.
    Source: Fisher 1935 for two groups; tests/reference/test_trial_published.py.
    """
    pairs, first = int(difference.size), int(change_first.sum())
    if not 0 < first < pairs:
        return OrderGap(float("nan"), 1.0)
    rows = [np.isin(np.arange(pairs), which) for which in combinations(range(pairs), first)]
    chosen = np.array(rows)
    gaps = (chosen @ difference) / first - (~chosen @ difference) / (pairs - first)
    seen = float(difference[change_first].mean() - difference[~change_first].mean())
    return OrderGap(seen, float(np.mean(np.abs(gaps) >= abs(seen) - ALIKE)))
