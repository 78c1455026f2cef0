"""How much of the change was in force on the days that are read: what was taken, what was missed, what lingers."""

from __future__ import annotations

import numpy as np

from coaching.science.agents import effect_course, onset_d, washout_d
from coaching.science.inputs import INGREDIENTS, Bools, Floats
from coaching.science.quantities import Parameters

STEADY_DAYS = 90
NO_CONTRAST = 0.1
"""A pair whose blocks differ by less of the planned exposure says nothing of the change."""


def times(ingredient: str, carry_over_days: tuple[int, int], p: Parameters) -> tuple[float, float]:
    """Return onset and wash-out of a form of care: of a drying agent the model's, of another the rulebook's.

    Parameters: ingredient (of `INGREDIENTS`, empty for another form); carry_over_days (shortest, longest); p.
    Returns: d until half of the effect, and time constant of what lingers, d.
    Raises: ValueError for an ingredient that is not known.
    Assumes: what is no agent shows on the next morning.
    Source: as `onset_d` and `washout_d`; judgement for the others: half of the longest carry-over;
        tests/unit/test_trial_science.py.
    """
    if ingredient:
        at = INGREDIENTS.index(ingredient)
        return float(onset_d(p)[at]), float(washout_d(p)[at])
    return 1.0, max(carry_over_days[1], 1) / 2.0


def in_force(dose: Floats, ingredient: str, washout: float, p: Parameters, speed: float = 1.0) -> Floats:
    """Return the share of the full effect in force on each morning.

    Parameters: dose (N, T), 0-1, of each day; ingredient, as `times`; washout (d); p; speed (onset over the
        model's, > 0; of agents alone).
    Returns: (N, T), 0-1, nothing in the skin on the first morning.
    Raises: ValueError for an ingredient that is not known.
    Assumes: one onset for everybody: the athlete's own is hardly to be known.
    Source: as `effect_course`; tests/unit/test_trial_science.py.
    """
    if ingredient:
        at = INGREDIENTS.index(ingredient)
        doses = np.zeros((*dose.shape, len(INGREDIENTS)))
        doses[..., at] = dose
        return np.ascontiguousarray(effect_course(doses, speed, p)[:, at].T)
    rate, held = 1.0 - np.exp(-1.0 / washout), np.zeros(dose.shape)
    for day in range(1, dose.shape[1]):
        held[:, day] = held[:, day - 1] + rate * (dose[:, day - 1] - held[:, day - 1])
    return held


def steady(amount: float, every: int, ingredient: str, washout: float, p: Parameters) -> float:
    """Return the share of the full effect that the plan keeps up once it has run for long.

    Parameters: amount (0-1 of full dose a use); every (days from use to use); ingredient; washout (d); p.
    Returns: 0-1.
    Raises: ValueError for an ingredient that is not known.
    Assumes: nothing is missed.
    Source: as `in_force`; tests/unit/test_trial_science.py.
    """
    dose = np.where(np.arange(STEADY_DAYS) % every == 0, amount, 0.0)
    return float(in_force(dose[None], ingredient, washout, p)[0, -4 * every :].mean())


def contrasts(share: Floats, read: Bools, change_first: Bools, full: float) -> tuple[Floats, Floats]:
    """Return by how much the blocks of each pair differed in exposure, and what was still there in the usual ones.

    Parameters: share (2, T), 0-1 in force, by track; read (P, 2, T), the days that are read of each block;
        change_first (P,); full (share that the plan keeps up, > 0).
    Returns: (P,) each, of the planned exposure: contrast, and rest of the change in the usual block.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_trial_science.py.
    """
    means = (read * share).sum(axis=2) / np.maximum(read.sum(axis=2), 1) / full
    change = np.where(change_first, means[:, 0], means[:, 1])
    usual = np.where(change_first, means[:, 1], means[:, 0])
    return change - usual, usual


def block_means(daily: Floats, read: Bools) -> Floats:
    """Return the mean outcome of each block over the days that are read and were answered.

    Parameters: daily (T,), NaN not answered; read (P, 2, T).
    Returns: (P, 2), NaN where fewer than a third of a block's days were answered.
    Raises: nothing.
    Assumes: days that were not answered are like those that were.
    Source: judgement; tests/unit/test_trial_science.py.
    """
    told = np.isfinite(daily)
    count = (read & told).sum(axis=2)
    total = np.where(read & told, np.nan_to_num(daily), 0.0).sum(axis=2)
    enough = count * 3 >= read.sum(axis=2)
    return np.where(enough & (count > 0), total / np.maximum(count, 1), np.nan)
