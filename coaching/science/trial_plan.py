"""The days of a trial: which block each belongs to, when the change is due, which days are read, and by how much the
arms will differ if it is kept to.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import Bools, Floats
from coaching.science.quantities import Parameters
from coaching.science.trial_doses import contrasts, in_force, steady
from coaching.science.trial_orders import draw
from coaching.science.trial_power import Exposure
from coaching.science.trial_reading import Dosing, Told

USUAL_TAKEN = 0.85
"""Share of uses that are counted on before anybody has begun: the model's share of care done of care planned."""
DRAWN = 16
SPEEDS, SPEED_WEIGHTS = (0.74, 1.0, 1.35), (0.3, 0.4, 0.3)
"""Onset over the prior's median: slow and fast skin, one prior sd apart, as the model counts them."""


@dataclass(frozen=True)
class Blocks:
    """Where blocks lie. Block b takes `skip` days in which the change comes on or washes out, then `read` days.

    On hands, block b is pair b, and the change is on one hand; else blocks 2 b and 2 b + 1 are pair b.
    """

    starts: tuple[int, ...]  # first day of each block, from the first of the trial
    skip: int
    read: int
    hands: bool

    @property
    def length(self) -> int:
        return self.skip + self.read

    @property
    def days(self) -> int:
        return self.starts[-1] + self.length + 1

    @property
    def pairs(self) -> int:
        return len(self.starts) if self.hands else len(self.starts) // 2

    def at(self, day: int) -> int | None:
        """The block of a day; None between blocks and outside the trial."""
        return next((b for b, start in enumerate(self.starts) if start <= day < start + self.length), None)


def due(blocks: Blocks, change_first: Bools, every: int) -> Bools:
    """Return the days on which the change is to be used.

    Parameters: blocks; change_first (P,): in the first block, or on the left hand; every (days from use to use).
    Returns: (2, T): left and right hand; both the same where blocks follow each other.
    Raises: nothing.
    Assumes: the evening of a day shows on the next morning.
    Source: bookkeeping; tests/unit/test_trial_science.py.
    """
    found = np.zeros((2, blocks.days), dtype=bool)
    for b, start in enumerate(blocks.starts):
        days = np.arange(start, start + blocks.length, every)
        if blocks.hands:
            found[0 if change_first[b] else 1, days] = True
        elif change_first[b // 2] == (b % 2 == 0):
            found[:, days] = True
    return found


def read_days(blocks: Blocks) -> Bools:
    """Return the mornings that count of each block.

    Parameters: blocks.
    Returns: (P, 2, T): the morning after each of the last `read` days of a block.
    Raises: nothing.
    Assumes: as `due`.
    Source: bookkeeping; tests/unit/test_trial_science.py.
    """
    found = np.zeros((blocks.pairs, 2, blocks.days), dtype=bool)
    for b, start in enumerate(blocks.starts):
        days = slice(start + blocks.skip + 1, start + blocks.length + 1)
        if blocks.hands:
            found[b, :, days] = True
        else:
            found[b // 2, b % 2, days] = True
    return found


def told(blocks: Blocks, change_first: Bools, every: int, daily: Floats, taken: Floats) -> Told:
    """Return a trial as it is read.

    Parameters: blocks; change_first, every, as `due`; daily, taken (2, T), NaN not known.
    Returns: Told.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_trial_science.py.
    """
    return Told(daily, due(blocks, change_first, every), taken, read_days(blocks), change_first)


def expected_contrast(
    blocks: Blocks, dosing: Dosing, p: Parameters, taken_frac: float = USUAL_TAKEN
) -> Exposure:
    """Return by how much of the planned exposure the arms will differ, and how much that scatters from pair to pair.

    Parameters: blocks; dosing; p; taken_frac (0-1, share of uses kept to).
    Returns: Exposure, by slow and fast skin; scatter over orders and misses that could be drawn.
    Raises: nothing.
    Assumes: misses fall anywhere.
    Source: as `in_force`; tests/unit/test_trial_science.py, tests/trials/test_simulated.py.
    """
    full = steady(dosing.amount, dosing.every, dosing.ingredient, dosing.washout_d, p)
    read, rng = read_days(blocks), np.random.Generator(np.random.PCG64(20261128))
    orders = [draw(blocks.pairs, seed) for seed in range(DRAWN)]
    missed = rng.random((DRAWN, 1, blocks.days)) >= taken_frac
    doses = np.array([due(blocks, order, dosing.every) for order in orders]) & ~missed
    flat = np.asarray(doses.reshape(-1, blocks.days) * dosing.amount, dtype=np.float64)
    found = []
    for speed in SPEEDS:
        force = in_force(flat, dosing.ingredient, dosing.washout_d, p, speed).reshape(doses.shape)
        found.append([contrasts(one, read, order, full)[0] for one, order in zip(force, orders, strict=True)])
    by_speed = np.array(found).reshape(len(SPEEDS), -1)
    return Exposure(SPEED_WEIGHTS, tuple(by_speed.mean(axis=1).tolist()), tuple(by_speed.std(axis=1).tolist()))
