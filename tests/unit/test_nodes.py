"""The fixed points over what is not known: one in every sixtieth of each axis, and plain quantiles."""

import numpy as np
import pytest

from coaching.science.healing import PACES
from coaching.science.nodes import COUNT, NODES, cell_quantiles, evenly, fixed_nodes, node_quantiles
from coaching.science.normal import quantile


def test_points_are_mirrored_and_even_on_every_axis() -> None:
    for z in (NODES.reserve_z, NODES.dampness_z):
        assert z.mean() == pytest.approx(0, abs=1e-12) and (z**2).mean() == pytest.approx(1)
    assert np.allclose(np.sort(NODES.shift_u), (np.arange(COUNT) + 0.5) / COUNT)
    assert np.all(np.bincount(NODES.pace_fifth) == COUNT // PACES)


def test_axes_hardly_go_together() -> None:
    axes = np.stack([NODES.reserve_z, NODES.dampness_z, NODES.shift_u, NODES.pace_fifth])
    apart = np.corrcoef(axes) - np.eye(4)
    assert np.abs(apart).max() < 0.2  # sixty random points would reach 0.25 about once in twenty


def test_points_are_the_same_every_time() -> None:
    assert np.array_equal(fixed_nodes().reserve_z, NODES.reserve_z)


def test_quantiles_equal_numpy_hazen() -> None:
    values = np.random.default_rng(0).random((COUNT, 5))
    levels = (0.0, 0.004, 0.1, 0.5, 0.9, 0.991, 1.0)
    expected = np.quantile(values, levels, axis=0, method="hazen")
    assert np.allclose(node_quantiles(values, levels), expected)


def test_cells_give_the_quantiles_of_a_uniform_law() -> None:
    weight = np.full((4, 1), 0.25)
    got = cell_quantiles(weight, np.linspace(0, 1, 5), np.array([0.0, 0.1, 0.5, 0.99]))
    assert np.allclose(got[:, 0], [0.0, 0.1, 0.5, 0.99])


def test_scores_of_limits_are_unrelated_to_each_other_and_to_those_of_the_state() -> None:
    """Sample means nil, variances one, covariances nil: what Gram-Schmidt leaves."""
    scores = np.stack([NODES.reserve_z, NODES.dampness_z, *NODES.limits_z])
    related = scores @ scores.T / COUNT
    assert np.allclose(NODES.limits_z.mean(axis=1), 0.0, atol=1e-12)
    assert np.allclose(related[2:], np.eye(5)[2:], atol=1e-12)


def test_points_come_in_mirrored_pairs_on_as_many_axes_as_asked() -> None:
    points = evenly(1.2207440846, 3)  # x^4 = x + 1
    assert points.shape == (3, COUNT) and np.allclose(points[:, : COUNT // 2] + points[:, COUNT // 2 :], 1.0)


def test_the_third_shift_of_limits_goes_with_the_shift_of_the_odds() -> None:
    """What is not known of the odds is spread over the same axis in both; Gram-Schmidt takes little away."""
    assert np.corrcoef(NODES.limits_z[2], quantile(NODES.shift_u))[0, 1] > 0.9
