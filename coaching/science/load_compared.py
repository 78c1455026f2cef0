"""A week of load compared: with its own evenness, and with the three weeks before it. No bands of risk are drawn."""

from __future__ import annotations

import numpy as np

from coaching.science.inputs import Floats
from coaching.science.load import monotony

WEEK_D, BEFORE_D = 7, 21


def load_times_monotony(week: Floats) -> Floats:
    """Return the sum of a week's load times its monotony.

    Parameters: week (..., 7), any load unit, NaN not known.
    Returns: (...), in the unit of the load; NaN where monotony is not defined.
    Raises: ValueError where the last axis is not seven days.
    Assumes: loads of several sessions a day are summed before.
    Source: Foster 1998; tests/unit/test_load_compared.py.
    """
    return np.asarray(week.sum(axis=-1) * monotony(week).value)


def uncoupled_ratio(load: Floats) -> Floats:
    """Return the mean day of the last week over the mean day of the three weeks before it.

    Parameters: load (N, T), any load unit, NaN not known.
    Returns: (N, T); NaN until 28 days in a row are known, and where the three weeks before were without load.
    Raises: nothing.
    Assumes: nothing. It predicts no injury and is to be shown with that caution.
    Source: Windt & Gabbett 2019 (the week kept out of what it is compared with), Impellizzeri et al. 2020 (the
        caution), from memory; tests/unit/test_load_compared.py.
    """
    days = WEEK_D + BEFORE_D
    padded = np.concatenate([np.full((load.shape[0], days - 1), np.nan), load], axis=1)
    window = np.lib.stride_tricks.sliding_window_view(padded, days, axis=1)
    before, week = (window[..., cut].mean(axis=-1) for cut in (slice(None, BEFORE_D), slice(BEFORE_D, None)))
    return np.where(before > 0, week / np.where(before > 0, before, 1.0), np.nan)
