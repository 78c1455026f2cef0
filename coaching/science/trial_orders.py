"""Orders of an athlete's own trial: in each pair of blocks, or on each pair of hands, chance alone says where the
change comes.
"""

from __future__ import annotations

import numpy as np

from coaching.science.inputs import Bools, Floats

MOST_PAIRS = 12
"""Every order that could have been drawn is tried: 4096 of them at the most."""


def draw(pairs: int, seed: int) -> Bools:
    """Return an order drawn at random: for each pair whether the change comes first (or on the left hand).

    Parameters: pairs (count, 1 to `MOST_PAIRS`); seed (at least 0).
    Returns: (P,), each order as likely as any other.
    Raises: ValueError for a count that is out of range.
    Assumes: the seed was drawn so that nobody could choose it; the bits of PCG64 stay those of a seed.
    Source: restricted randomisation in pairs (Edgington and Onghena 2007, Randomization Tests, from memory);
        tests/unit/test_trial_science.py.
    """
    _refuse(pairs)
    bits = np.random.Generator(np.random.PCG64(seed)).integers(0, 2, size=pairs)
    return np.asarray(bits == 1)


def subsets(pairs: int) -> Bools:
    """Return every set of pairs that another draw would have turned round, the empty one first.

    Parameters: pairs (count, 1 to `MOST_PAIRS`).
    Returns: (2^P, P).
    Raises: ValueError for a count that is out of range.
    Assumes: every order was as likely as any other.
    Source: bookkeeping; tests/unit/test_trial_science.py.
    """
    _refuse(pairs)
    numbers = np.arange(2**pairs)[:, None]
    return np.asarray((numbers >> np.arange(pairs)) & 1 == 1)


def differences(values: Floats, change_first: Bools) -> Floats:
    """Return change less usual for each pair of blocks.

    Parameters: values (P, 2) of the first and second block (or left and right hand), NaN not known;
        change_first (P,).
    Returns: (P,), NaN where a block is not known.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_trial_science.py.
    """
    gap = values[:, 0] - values[:, 1]
    return np.where(change_first, gap, -gap)


def _refuse(pairs: int) -> None:
    if not 1 <= pairs <= MOST_PAIRS:
        raise ValueError(f"a trial has 1 to {MOST_PAIRS} pairs, not {pairs}")
