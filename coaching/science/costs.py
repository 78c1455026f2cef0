"""What a session costs one athlete's own skin: their wear for each unit of load, and how soon half of it is back."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coaching.science.inputs import Floats
from coaching.science.quantities import Parameters
from coaching.science.reserve import renewal_d
from coaching.science.skin import State

NORMAL_90 = 1.2815515655446004
"""90 % point of the normal distribution."""
LEAST_WEIGHT = 0.1
"""A renewal time of the bank that the athlete's own answers make less likely than this is left out of the range."""


class OwnPace(NamedTuple):
    """Of each athlete, (N,): low and high end hold 80 of 100."""

    wear_low_pt_per_slu: Floats
    wear_high_pt_per_slu: Floats
    half_back_low_d: Floats
    half_back_high_d: Floats


def own_pace(state: State, p: Parameters) -> OwnPace:
    """Return how fast the skin of each athlete wears and comes back, as their own answers have it today.

    Parameters: state (from `Model.filter`); p (of the same model).
    Returns: OwnPace, (N,); before any answer the ends of the prior.
    Raises: nothing.
    Assumes: what a session wears comes back exponentially, as the reserve does in the filter; no ceiling at 0 or 10.
    Source: mean and variance of a mixture, over the bank of `coaching.science.reserve`; tests/unit/test_costs.py.
    """
    track = state.reserve
    weight = np.exp(track.log_weight)
    mean = (weight * track.belief.mean[2]).sum(axis=0)
    square = (weight * (track.belief.cov[2, 2] + track.belief.mean[2] ** 2)).sum(axis=0)
    spread = NORMAL_90 * np.sqrt(np.maximum(square - mean**2, 0.0))
    half = np.log(2.0) * np.broadcast_to(renewal_d(p), weight.shape)
    likely = weight >= LEAST_WEIGHT
    return OwnPace(
        np.maximum(mean - spread, 0.0),
        np.maximum(mean + spread, 0.0),
        np.where(likely, half, np.inf).min(axis=0),
        np.where(likely, half, 0.0).max(axis=0),
    )
