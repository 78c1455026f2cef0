"""Normal distribution, element by element, so that neither order nor size of a batch changes a bit."""

from __future__ import annotations

import numpy as np

from coaching.science.inputs import Floats

SQRT_TWO_PI = 2.5066282746310002


def cdf(z: Floats) -> Floats:
    """Return the standard normal distribution function.

    Parameters: z (any shape, standard deviations).
    Returns: same shape, 0-1.
    Raises: nothing.
    Assumes: nothing.
    Source: Abramowitz & Stegun 1964, 26.2.2; tests/reference/test_normal.py.
    """
    from scipy.special import ndtr

    return np.asarray(ndtr(z), dtype=np.float64)


def quantile(p: Floats) -> Floats:
    """Return the standard normal quantile.

    Parameters: p (any shape, 0-1).
    Returns: same shape, standard deviations.
    Raises: nothing; p of 0 or 1 gives minus or plus infinity.
    Assumes: nothing.
    Source: inverse of Abramowitz & Stegun 1964, 26.2.2; tests/reference/test_normal.py.
    """
    from scipy.special import ndtri

    return np.asarray(ndtri(p), dtype=np.float64)


def density(z: Floats) -> Floats:
    """Return the standard normal density.

    Parameters: z (any shape, standard deviations; may be infinite).
    Returns: same shape, 1 per standard deviation.
    Raises: nothing.
    Assumes: nothing.
    Source: Abramowitz & Stegun 1964, 26.2.1; tests/reference/test_normal.py.
    """
    return np.asarray(np.exp(-0.5 * z * z) / SQRT_TWO_PI, dtype=np.float64)


def truncated_moments(low: Floats, high: Floats) -> tuple[Floats, Floats, Floats]:
    """Return probability, mean and variance of a standard normal held between two bounds.

    Parameters: low, high (same shape, standard deviations, low < high; may be infinite).
    Returns: three arrays of that shape: probability 0-1, mean and variance in standard deviations.
    Raises: nothing.
    Assumes: bounds within some 30 standard deviations; beyond, the nearer bound is returned with no variance.
    Source: Johnson, Kotz & Balakrishnan 1994, 13.10.1; tests/reference/test_normal.py.
    """
    flip = low + high > 0  # work in the left tail, where the distribution function keeps its digits
    a, b = np.where(flip, -high, low), np.where(flip, -low, high)
    mass = cdf(b) - cdf(a)
    safe = np.maximum(mass, 1e-290)
    at_a, at_b = density(a), density(b)
    mean = (at_a - at_b) / safe
    slope = np.where(np.isfinite(a), a, 0.0) * at_a - np.where(np.isfinite(b), b, 0.0) * at_b
    variance = 1.0 + slope / safe - mean * mean
    lost = mass < 1e-280
    mean = np.where(lost, b, np.clip(mean, a, b))
    variance = np.where(lost, 0.0, np.clip(variance, 0.0, 1.0))
    return safe, np.where(flip, -mean, mean), variance
