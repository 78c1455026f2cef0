"""Small Kalman steps, element by element: predict, condition, and a rating read as an interval with heavy
tails.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import Bools, Floats
from coaching.science.normal import truncated_moments

Row = Mapping[int, Floats | float]
"""Non-zero coefficients of one row of a transition or of a measurement: state index -> coefficient."""


@dataclass(frozen=True)
class Belief:
    """Mean and covariance of a small state for any batch of athletes and components."""

    mean: Floats  # (D, ...)
    cov: Floats  # (D, D, ...)


@dataclass(frozen=True)
class Bank:
    """A bank of filters on the morning of a day, the ratings of that morning not yet taken in."""

    log_weight: Floats  # (K, N)
    belief: Belief


@dataclass(frozen=True)
class Leg:
    """The part of a course that a filter runs over, and the morning on which its bank is to be kept."""

    begin: int = 0  # column
    bank: Bank | None = None  # on the morning of `begin`; None the prior
    keep: int = -1  # column; -1 none


@dataclass(frozen=True)
class Reading:
    """What a rating says about the value that was rated: moments before and after it, and its likelihood."""

    mean: Floats  # predicted value of the rating
    var: Floats  # predicted variance of the rating, report noise included
    seen_mean: Floats  # mean of the rating's latent value once the answer is known
    seen_var: Floats  # its variance: nil for an exact measurement
    log_likelihood: Floats


def advance(
    belief: Belief, transition: Sequence[Row], shift: Mapping[int, Floats], noise: Mapping[int, Floats]
) -> Belief:
    """Carry a belief one step forward.

    Parameters: belief; transition (one row a state); shift, noise (state index -> added mean, added
        variance).
    Returns: Belief of the same shape.
    Raises: nothing.
    Assumes: noise of different states is independent.
    Source: Durbin & Koopman 2012, 4.3; tests/reference/test_state_space.py (Nile).
    """
    size = len(transition)
    mean = np.empty_like(belief.mean)
    half = np.empty_like(belief.cov)
    cov = np.empty_like(belief.cov)
    for i, row in enumerate(transition):
        mean[i] = combine(row, belief.mean) + shift.get(i, 0.0)
        for j in range(size):
            half[i, j] = combine(row, belief.cov[:, j])
    for i in range(size):
        for j in range(i, size):
            cov[i, j] = combine(transition[j], half[i])
            cov[j, i] = cov[i, j]
        if i in noise:
            cov[i, i] = cov[i, i] + noise[i]
    return Belief(mean, cov)


def combine(row: Row, values: Floats) -> Floats:
    """Return the weighted sum of a state's elements in a fixed order.

    Parameters: row (state index -> coefficient); values (D, ...).
    Returns: array of the trailing shape.
    Raises: nothing.
    Assumes: at least one coefficient.
    Source: judgement: a fixed order keeps every bit whatever the batch; tests/property/test_batches.py.
    """
    total: Floats | None = None
    for index, coefficient in row.items():
        whole = isinstance(coefficient, float) and coefficient == 1.0
        term = values[index] if whole else values[index] * coefficient
        total = term if total is None else total + term
    if total is None:
        raise ValueError("a row needs at least one coefficient")
    return total


def predicted(belief: Belief, row: Row) -> tuple[Floats, Floats]:
    """Return mean and variance of a linear reading of the state.

    Parameters: belief; row (state index -> coefficient).
    Returns: mean, variance (trailing shape).
    Raises: nothing.
    Assumes: nothing.
    Source: Durbin & Koopman 2012, 4.3; tests/reference/test_state_space.py.
    """
    mean = combine(row, belief.mean)
    var = combine(row, gains(belief, row))
    return mean, np.maximum(var, 1e-12)


def gains(belief: Belief, row: Row) -> Floats:
    """Return the covariance of each state element with a linear reading.

    Parameters: belief; row (state index -> coefficient).
    Returns: (D, ...).
    Raises: nothing.
    Assumes: nothing.
    Source: Durbin & Koopman 2012, 4.3; tests/reference/test_state_space.py.
    """
    return np.stack([combine(row, belief.cov[i]) for i in range(belief.mean.shape[0])])


def condition(belief: Belief, row: Row, reading: Reading, known: Bools) -> Belief:
    """Condition a belief on a reading; where `known` is false the belief passes unchanged.

    Parameters: belief; row; reading; known (trailing shape).
    Returns: Belief of the same shape.
    Raises: nothing.
    Assumes: the latent value of the reading is normal before the answer (assumed-density filtering).
    Source: Durbin & Koopman 2012, 4.3 and 4.10 (missing days skip the update);
        tests/reference/test_state_space.py.
    """
    gain = gains(belief, row) / reading.var
    move = np.where(known, reading.seen_mean - reading.mean, 0.0)
    shrink = np.where(known, reading.var - reading.seen_var, 0.0)
    cov = belief.cov - gain[:, None] * gain[None, :] * shrink
    return Belief(belief.mean + gain * move, cov)


def exact_reading(mean: Floats, var: Floats, value: Floats, noise_var: float) -> Reading:
    """Return the reading of a plain measurement with normal noise.

    Parameters: mean, var (predicted value and its variance); value (NaN not known); noise_var (squared unit).
    Returns: Reading.
    Raises: nothing.
    Assumes: normal noise.
    Source: Durbin & Koopman 2012, 4.3; tests/reference/test_state_space.py.
    """
    total = var + noise_var
    seen = np.where(np.isnan(value), mean, value)
    gap = seen - mean
    log_likelihood = np.where(np.isnan(value), 0.0, -0.5 * (np.log(2.0 * np.pi * total) + gap * gap / total))
    return Reading(mean, total, seen, np.zeros_like(total), log_likelihood)


def rating_reading(
    mean: Floats, var: Floats, rating: Floats, half_step: Floats, report: tuple[float, float]
) -> Reading:
    """Return the reading of a whole-number rating 0-10: an interval, open at both ends, with heavy tails.

    Parameters: mean, var (pt, pt2; predicted value and its variance); rating (pt, NaN not known); half_step
        (pt,
        half width of the answer); report (report sd in pt, degrees of freedom of its tails).
    Returns: Reading.
    Raises: nothing.
    Assumes: tails are met by widening the noise of a surprising rating (a pseudo-likelihood).
    Source: judgement; truncated moments by Johnson, Kotz & Balakrishnan 1994, 13.10.1;
        tests/reference/test_normal.py.
    """
    report_sd_pt, tail_df = report
    answer = np.where(np.isnan(rating), 5.0, rating)
    surprise = (answer - mean) ** 2 / (var + report_sd_pt**2)
    widen = np.maximum(1.0, (tail_df + surprise) / (tail_df + 1.0))
    total = var + report_sd_pt**2 * widen
    sd = np.sqrt(total)
    low = np.where(answer <= 0.0, -np.inf, (answer - half_step - mean) / sd)
    high = np.where(answer >= 10.0, np.inf, (answer + half_step - mean) / sd)
    mass, seen, seen_var = truncated_moments(low, high)
    log_likelihood = np.where(np.isnan(rating), 0.0, np.log(mass))
    return Reading(mean, total, mean + sd * seen, total * seen_var, log_likelihood)


def reweigh(log_weight: Floats, log_likelihood: Floats) -> Floats:
    """Return component weights after a reading, on the log scale and summing to one.

    Parameters: log_weight, log_likelihood (K, N).
    Returns: (K, N).
    Raises: nothing.
    Assumes: finite on at least one component.
    Source: Bayes' rule; tests/property/test_bounds.py.
    """
    raised = log_weight + log_likelihood
    top = raised.max(axis=0)
    total = ordered_sum(np.exp(raised - top))
    return np.asarray(raised - top - np.log(total))


def ordered_sum(values: Floats) -> Floats:
    """Return the sum over the first axis, always added in the same order.

    Parameters: values (K, ...).
    Returns: trailing shape.
    Raises: nothing.
    Assumes: K is at least one.
    Source: judgement: a fixed order keeps every bit whatever the batch; tests/property/test_batches.py.
    """
    total: Floats = values[0]
    for row in values[1:]:
        total = total + row
    return total


def mixture(weight: Floats, mean: Floats, var: Floats) -> tuple[Floats, Floats]:
    """Return mean and variance of a mixture of components.

    Parameters: weight, mean, var (K, N).
    Returns: mean, variance (N,).
    Raises: nothing.
    Assumes: weights sum to one over the first axis.
    Source: law of total variance; tests/property/test_bounds.py.
    """
    middle = weighted_level(weight, mean)
    return middle, ordered_sum(weight * (var + (mean - middle) ** 2))


def weighted_level(weight: Floats, level_pt: Floats) -> Floats:
    """Return the mean level of a mixture, held inside the scale against rounding.

    Parameters: weight (K, N), summing to one over the first axis; level_pt (K, N), 0-10.
    Returns: (N,) pt, 0-10.
    Raises: nothing.
    Assumes: nothing.
    Source: definition; tests/property/test_bounds.py.
    """
    return np.clip(ordered_sum(weight * level_pt), 0.0, 10.0)
