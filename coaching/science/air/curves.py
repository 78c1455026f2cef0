"""The two saturation curves of water vapour, over liquid water and over ice, and their slopes."""

from __future__ import annotations

import numpy as np

from coaching.science.inputs import Floats

Curve = tuple[float, tuple[float, float, float, float, float], float]
# Hyland & Wexler 1983 as printed in ASHRAE Fundamentals, eq. 5 (ice) and 6 (water): ln p = a/T + poly(T) + b ln T.
ICE = (-5.6745359e3, (6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13), 4.1635019)
WATER = (-5.8002206e3, (1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0), 6.5459673)


def log_pressure(temp_k: Floats, curve: Curve) -> Floats:
    """Return the natural logarithm of the saturation pressure.

    Parameters: temp_k (any shape, K); curve (ICE or WATER).
    Returns: same shape, of a pressure in Pa.
    Raises: nothing.
    Assumes: nothing.
    Source: Hyland & Wexler 1983, ASHRAE Fundamentals eq. 5 and 6; tests/reference/test_air_psychrometrics.py.
    """
    first, (c0, c1, c2, c3, c4), log_factor = curve
    t = temp_k
    return np.asarray(first / t + c0 + t * (c1 + t * (c2 + t * (c3 + t * c4))) + log_factor * np.log(t))


def log_slope(temp_k: Floats, curve: Curve) -> Floats:
    """Return the slope of `log_pressure`.

    Parameters: temp_k (any shape, K); curve (ICE or WATER).
    Returns: same shape, 1/K.
    Raises: nothing.
    Assumes: nothing.
    Source: derivative of the same polynomial; tests/reference/test_air_psychrometrics.py.
    """
    first, (_, c1, c2, c3, c4), log_factor = curve
    t = temp_k
    return np.asarray(-first / (t * t) + c1 + t * (2 * c2 + t * (3 * c3 + t * 4 * c4)) + log_factor / t)
