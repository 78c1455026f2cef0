"""A fixed set of equally likely points over what is not known today; the same on every machine and for every
batch.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.healing_times import PACES
from coaching.science.inputs import Floats, Ints
from coaching.science.normal import quantile

COUNT = 60
_ROOT = 1.1673039782614187
"""Root of x**5 = x + 1: its powers spread points evenly over four axes (Roberts 2018, additive
recurrence).
"""
_ROOT_OF_FIVE = 1.1347241384015194
"""Root of x**6 = x + 1, for five axes."""


@dataclass(frozen=True)
class Nodes:
    """COUNT points: standard normal scores of reserve and dampness, quantile of the personal shift, fifth of
    pace.
    """

    reserve_z: Floats
    dampness_z: Floats
    shift_u: Floats
    pace_fifth: Ints
    limits_z: Floats  # (3, COUNT) scores of three shifts of limits, unrelated to each other and to those of the state


def fixed_nodes() -> Nodes:
    """Return the points, mirrored and stratified on every axis.

    Parameters: none.
    Returns: Nodes, each (COUNT,); on each axis one point in every sixtieth.
    Raises: nothing.
    Assumes: COUNT is a multiple of twice the number of fifths.
    Source: Roberts 2018 (additive recurrence), stratified after McKay, Beckman & Conover 1979;
        tests/unit/test_nodes.py.
    """
    u = evenly(_ROOT, 4)
    z = quantile(u[:2])
    z = z / np.sqrt((z**2).mean(axis=1, keepdims=True))
    limits_z = unrelated([*z, *quantile(np.stack([evenly(_ROOT_OF_FIVE, 5)[k] for k in (1, 2)])), quantile(u[2])])[2:]
    return Nodes(z[0], z[1], u[2], (u[3] * PACES).astype(np.int64), limits_z)


def evenly(root: float, axes: int) -> Floats:
    """Return points spread evenly, mirrored and stratified on every axis.

    Parameters: root (of x ** (axes + 1) = x + 1); axes (count).
    Returns: (axes, COUNT), 0-1; on each axis one point in every sixtieth.
    Raises: nothing.
    Assumes: COUNT is even.
    Source: Roberts 2018 (additive recurrence), stratified after McKay, Beckman & Conover 1979;
        tests/unit/test_nodes.py.
    """
    steps = np.arange(1, COUNT // 2 + 1)[None, :]
    half = (0.5 + steps * root ** -np.arange(1.0, axes + 1.0)[:, None]) % 1.0
    points = np.concatenate([half, 1.0 - half], axis=1)
    ranks = points.argsort(axis=1, kind="stable").argsort(axis=1, kind="stable")
    return np.asarray((ranks + 0.5) / COUNT)


def unrelated(scores: Sequence[Floats]) -> Floats:
    """Return scores of which no two are related, each with a variance of one.

    Parameters: scores (each (COUNT,), mean nil).
    Returns: (axes, COUNT).
    Raises: nothing.
    Assumes: no axis is a sum of those before it.
    Source: Gram-Schmidt, Golub & Van Loan 1996, 5.2; tests/unit/test_nodes.py.
    """
    done: list[Floats] = []
    for score in scores:
        left = score
        for other in done:
            left = left - other * float(np.mean(left * other))
        done.append(left / np.sqrt(np.mean(left**2)))
    return np.stack(done)


NODES = fixed_nodes()


def cell_quantiles(weight: Floats, edges: Floats, u: Floats) -> Floats:
    """Return quantiles of a distribution given by weights of neighbouring cells, flat inside each.

    Parameters: weight (G, N), summing to one over cells; edges (G + 1,), rising; u (Q,), 0-1.
    Returns: (Q, N), in the unit of the edges.
    Raises: nothing.
    Assumes: nothing.
    Source: inverse of a piecewise linear distribution function; tests/unit/test_nodes.py.
    """
    result = np.full((u.shape[0], weight.shape[1]), edges[0])
    below = np.zeros(weight.shape[1])
    for cell in range(weight.shape[0]):
        inside = np.clip((u[:, None] - below) / np.maximum(weight[cell], 1e-15), 0.0, 1.0)
        result = result + (edges[cell + 1] - edges[cell]) * inside
        below = below + weight[cell]
    return result


def node_mean(values: Floats) -> Floats:
    """Return the mean over the points, the first axis.

    Parameters: values (COUNT, ...).
    Returns: trailing shape.
    Raises: nothing.
    Assumes: equally likely points.
    Source: definition; tests/property/test_batches.py.
    """
    return np.asarray(ordered_sum(values) / values.shape[0])


def node_quantiles(values: Floats, levels: tuple[float, ...]) -> Floats:
    """Return quantiles over the points, the first axis.

    Parameters: values (COUNT, ...); levels (0-1).
    Returns: (levels, ...).
    Raises: nothing.
    Assumes: equally likely points, straight between them.
    Source: Hazen 1914 plotting positions (Hyndman & Fan 1996, type 5); tests/unit/test_nodes.py.
    """
    ordered = np.sort(values, axis=0)
    count = values.shape[0]
    result = []
    for level in levels:
        place = min(max(level * count - 0.5, 0.0), count - 1.0)
        low = int(place)
        high = min(low + 1, count - 1)
        result.append(ordered[low] + (place - low) * (ordered[high] - ordered[low]))
    return np.stack(result)
