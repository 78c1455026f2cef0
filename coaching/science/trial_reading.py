"""What an athlete's own trial shows: from daily answers and doses to an exact test, an interval and a posterior."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import Bools, Floats
from coaching.science.quantities import Parameters
from coaching.science.trial_doses import block_means, contrasts, in_force, steady
from coaching.science.trial_exact import Exact, OrderGap, exact, order_gap
from coaching.science.trial_orders import differences
from coaching.science.trial_shrink import Prior, pooled_se, shrink

ROUGHLY = 0.3
"""Of an interval's chances of error so much is kept back: skin takes an agent up faster or slower than is thought, and
what was missed lingers for longer or less. With six pairs the steps of p keep as much back by themselves (judgement,
held to account by tests/trials/test_simulated.py).
"""
LEAST_SD_PT = 0.5
"""No trial knows a full effect better: hands are rated against each other, mornings by themselves (judgement)."""


@dataclass(frozen=True)
class Dosing:
    """The change as planned: of which ingredient (empty: no agent), how much a use, every how many days, and the
    time constant of what lingers.
    """

    ingredient: str
    amount: float  # 0-1 of full dose
    every: int
    washout_d: float


@dataclass(frozen=True)
class Told:
    """Answers and doses of a trial over T days. Its two tracks are the left and the right hand; where blocks follow
    each other on both hands, both tracks are the same.
    """

    daily: Floats  # (2, T) outcome, NaN not answered
    due: Bools  # (2, T) days on which the change was to be used
    taken: Floats  # (2, T) 1 used, 0 not, NaN not told
    read: Bools  # (P, 2, T) days that count, of the first and the second block or of the left and the right hand
    change_first: Bools  # (P,)


@dataclass(frozen=True)
class Reading:
    """What came of it; outcome's unit, change less usual."""

    values: Floats  # (P, 2) block means, NaN not known
    difference: Floats  # (P,), NaN where a block is not known
    found: Exact | None  # None: no pair is whole
    contrast: float  # mean difference in exposure, share of the planned
    lingering: float  # mean rest of the change in the usual blocks, share of the planned
    taken_frac: float  # of the days due and told of, NaN none told of
    told_frac: float  # of the days due
    order: OrderGap | None
    se: float  # of the effect at the planned exposure; infinite without contrast
    mean: float  # posterior
    sd: float


def filled(told: Told) -> Floats:
    """Return the doses taken, days that nobody told of at the rate of the others.

    Parameters: told.
    Returns: (2, T), 0-1 of a use.
    Raises: nothing.
    Assumes: a day not told of is like those told of; nothing is used where nothing is due and nothing is told.
    Source: judgement; tests/unit/test_trial_science.py.
    """
    known = told.due & np.isfinite(told.taken)
    rate = float(told.taken[known].mean()) if known.any() else 1.0
    return np.where(np.isfinite(told.taken), told.taken, np.where(told.due, rate, 0.0))


def read_trial(
    told: Told, dosing: Dosing, pair_sd: float, prior: Prior, p: Parameters, others: tuple[Floats, Floats] | None = None
) -> Reading:
    """Return what a trial shows.

    Parameters: told; dosing; pair_sd (as expected before, outcome's unit); prior; p; others (effects and standard
        errors of the squad's other trials of the same question, (M,) each).
    Returns: Reading.
    Raises: nothing.
    Assumes: as `exact`.
    Source: as `exact` and `shrink`; tests/unit/test_trial_science.py, tests/trials/test_simulated.py.
    """
    full = steady(dosing.amount, dosing.every, dosing.ingredient, dosing.washout_d, p)
    doses = filled(told) * dosing.amount
    force = in_force(doses, dosing.ingredient, dosing.washout_d, p)
    values = np.column_stack([block_means(told.daily[k], told.read)[:, k] for k in (0, 1)])
    gap = differences(values, told.change_first)
    contrast, rest = contrasts(force, told.read, told.change_first, full)
    whole = np.isfinite(gap)
    due, known = told.due, told.due & np.isfinite(told.taken)
    taken = float(told.taken[known].mean()) if known.any() else float("nan")
    share = float(known.sum() / max(int(due.sum()), 1))
    if not whole.any():
        nan = float("nan")
        return Reading(values, gap, None, nan, nan, taken, share, None, float("inf"), nan, nan)
    found, mean_contrast = exact(gap[whole], contrast[whole], ROUGHLY), float(contrast[whole].mean())
    order = order_gap(gap[whole], told.change_first[whole])
    se, mean, sd = _posterior(found, gap[whole], mean_contrast, pair_sd, prior, others)
    lingering = float(rest[whole].mean())
    return Reading(values, gap, found, mean_contrast, lingering, taken, share, order, se, mean, sd)


def full_effect(found: Exact, se: float, dosing: Dosing, p: Parameters) -> tuple[float, float]:
    """Return what a trial of an agent on dampness says of its full effect, before others and publications are heard.

    Parameters: found; se (of the effect at the planned exposure, pt); dosing (of an agent); p.
    Returns: points of dampness that the full effect takes away, and the sd of that, pt.
    Raises: ValueError for an ingredient that is not known.
    Assumes: dampness moves in proportion to the share of the full effect that is in force.
    Source: as `steady`; tests/unit/test_trial_evidence.py.
    """
    full = steady(dosing.amount, dosing.every, dosing.ingredient, dosing.washout_d, p)
    return -found.effect / full, max(se / full, LEAST_SD_PT)


def _posterior(
    found: Exact, gap: Floats, contrast: float, pair_sd: float, prior: Prior, others: tuple[Floats, Floats] | None
) -> tuple[float, float, float]:
    none = np.zeros(0)
    effects, errors = others or (none, none)
    if contrast <= 0.0 or not np.isfinite(found.effect):
        before = float(np.hypot(prior.mean_sd, prior.spread_scale))
        return float("inf"), prior.mean, before
    se = pooled_se(gap, contrast, pair_sd)
    drawn = shrink(np.array([found.effect, *effects]), np.array([se, *errors]), prior)
    return se, float(drawn.mean[0]), float(drawn.sd[0])
