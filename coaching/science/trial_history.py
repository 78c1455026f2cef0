"""What days with and without a form of care looked like where nobody drew lots: a hint, and what else was different."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import Bools, Floats

WITH, WITHOUT = 0.5, 0.1
"""Shares of the planned effect from which a morning counts as with it, and up to which as without (judgement)."""
LEAST_DAYS = 5


@dataclass(frozen=True)
class Compared:
    """Mornings with less mornings without; NaN not known."""

    days_with: int
    days_without: int
    runs: int  # how often it was begun
    gap: float  # outcome's unit
    load_gap_slu: float  # load of the days before those mornings
    temp_gap_c: float
    level_before: float  # outcome on the mornings just before it was begun, less the usual without it

    @property
    def any(self) -> bool:
        return min(self.days_with, self.days_without) >= LEAST_DAYS


def compare(outcome: Floats, share: Floats, load: Floats, temp: Floats) -> Compared:
    """Return what an athlete's history shows of a form that they simply used.

    Parameters: outcome, share (of the planned effect in force), load (SLU), temp (degree C), all (T,) by day, NaN
        not known.
    Returns: Compared.
    Raises: nothing.
    Assumes: nothing, and so it can show nothing of cause: people begin when skin is bad, and load, air and season
        change with it.
    Source: judgement; tests/unit/test_trial_rules.py.
    """
    told = np.isfinite(outcome)
    used, unused = told & (share >= WITH), told & (share <= WITHOUT)
    begun = np.diff((share >= WITH).astype(int), prepend=0) == 1
    near = np.zeros(outcome.size, dtype=bool)
    for day in np.nonzero(begun)[0]:
        near[max(day - 7, 0) : day] = True
    before = np.concatenate([[np.nan], load[:-1]])
    return Compared(
        int(used.sum()), int(unused.sum()), int(begun.sum()), _gap(outcome, used, unused), _gap(before, used, unused),
        _gap(temp, used, unused), _gap(outcome, near & unused, unused & ~near),
    )  # fmt: skip


def _gap(values: Floats, one: Bools, other: Bools) -> float:
    means = [values[rows & np.isfinite(values)] for rows in (one, other)]
    return float(means[0].mean() - means[1].mean()) if all(part.size for part in means) else float("nan")
