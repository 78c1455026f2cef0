"""Whether rock or skin gathers water: its temperature against where the vapour settles.

The temperature of rock is seldom measured. What is assumed of it here: shaded rock follows the air with a lag
of an hour where thin, of a day where thick; neither sun on it nor the clear night sky is counted. Under a
clear sky rock may be some kelvins colder than the air, so a small margin is no promise.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coaching.science.air.air_quantities import chosen
from coaching.science.air.psychrometrics import Values, dew_point_c, frost_point_c
from coaching.science.inputs import Floats


class Margin(NamedTuple):
    """Surface over the point where vapour settles, K: thin and thick rock give the two ends; below 0 wet."""

    low_k: Floats
    high_k: Floats


def settling_point_c(vapour_pa: Values) -> Floats:
    """Return where vapour settles on a cold surface: as frost below the triple point, as dew above it.

    Parameters: vapour_pa (any shape, Pa).
    Returns: same shape, C; NaN where there is no vapour.
    Raises: nothing.
    Assumes: frost forms as soon as it can; dew may stay liquid below 0 C for a while.
    Source: saturation curves over ice and water meet at the triple point; tests/property/test_air.py.
    """
    frost = frost_point_c(vapour_pa)
    return np.where(np.isnan(frost), dew_point_c(vapour_pa), frost)


def margin_k(surface_c: Values, vapour_pa: Values) -> Floats:
    """Return by how much a surface is warmer than where vapour settles on it.

    Parameters: surface_c (C, of rock or skin); vapour_pa (Pa, of the air); shapes broadcast.
    Returns: broadcast shape, K; below nought the surface gathers water, whatever the wind.
    Raises: nothing.
    Assumes: the surface temperature is known; see the head of this module where it is not.
    Source: definition of dew and frost point; tests/reference/test_air_psychrometrics.py.
    """
    return np.asarray(surface_c, dtype=np.float64) - settling_point_c(vapour_pa)


def shaded_rock_c(temp_c: Floats, lag_h: float) -> Floats:
    """Return an assumed temperature of shaded rock.

    Parameters: temp_c (..., H), C, hourly and without gaps; lag_h (h, > 0).
    Returns: same shape, C; starts as warm as the air of the first hour. From an unknown hour on NaN.
    Raises: ValueError for a lag that is not positive.
    Assumes: one lag, no sun, no clear night sky, no seeping water.
    Source: assumption: a body that follows the air exponentially; tests/property/test_air.py.
    """
    if lag_h <= 0:
        raise ValueError("lag_h must be positive")
    keep = np.exp(-1.0 / lag_h)
    rock = np.array(temp_c, dtype=np.float64)
    for hour in range(1, rock.shape[-1]):
        rock[..., hour] = keep * rock[..., hour - 1] + (1.0 - keep) * temp_c[..., hour]
    return rock


def rock_margin_k(temp_c: Floats, vapour_pa: Floats) -> Margin:
    """Return the margin of shaded rock whose temperature nobody measured.

    Parameters: temp_c (..., H), C, hourly; vapour_pa (..., H), Pa.
    Returns: Margin (..., H), K: the lower and the higher of thin and of thick rock.
    Raises: nothing.
    Assumes: as the head of this module says.
    Source: assumption, lags of the register of the air model; tests/property/test_air.py.
    """
    ends = [
        margin_k(shaded_rock_c(temp_c, chosen(name)), vapour_pa) for name in ("rock_lag_short_h", "rock_lag_long_h")
    ]
    return Margin(np.minimum(*ends), np.maximum(*ends))
