"""Hardness rises with agents and dry air, falls with cream and filing, and settles back."""

import numpy as np
import pytest

from coaching.science import hardness
from coaching.science.quantities import defaults
from tests.courses import DAYS, ORIGIN, calm

P = defaults()
FULL = np.zeros((DAYS, 3, 1)) + np.array([1.0, 0.0, 1.0])[None, :, None]


def test_push_of_each_cause() -> None:
    ones = np.ones((1, DAYS))
    push = hardness.push_pt(calm(moist_done=ones, filed_done=ones, rh_pct=25 * ones), FULL, P)[:, 0]
    assert push[0] == pytest.approx(0.25 + 20 * 0.012 - 0.2 - 0.4)
    assert push[ORIGIN + 1] == pytest.approx(0.25 + 20 * 0.012)


@pytest.mark.parametrize("rh_pct", [45.0, 80.0, np.nan])
def test_damp_and_unknown_air_push_nothing(rh_pct: float) -> None:
    push = hardness.push_pt(calm(rh_pct=np.full((1, DAYS), rh_pct)), np.zeros((DAYS, 3, 1)), P)
    assert np.all(push == 0.0)


@pytest.mark.parametrize(("push_pt", "end"), [(-5.0, 0.0), (5.0, 10.0)])
def test_both_ends_of_the_scale_hold(push_pt: float, end: float) -> None:
    push = np.full((DAYS, 1), push_pt)
    track = hardness.follow(calm(), push, P)
    assert track.mean_pt[-1, 0] == hardness.forward_means(track, push, ORIGIN, P)[-1, 0] == end


def test_agents_in_force_harden_to_a_new_level() -> None:
    """Closed form: the level settles at the usual plus push times the days of return."""
    track = hardness.follow(calm(days=200, origin=0), np.full((200, 1), 0.25), P)
    assert track.mean_pt[-1, 0] == pytest.approx(
        P["hardness_usual_pt"] + 0.25 * P["hardness_return_d"], abs=1e-6
    )


def test_forward_run_equals_the_filter_under_the_same_push() -> None:
    push = np.full((DAYS, 1), 0.1)
    track = hardness.follow(calm(), push, P)
    assert np.allclose(hardness.forward_means(track, push, ORIGIN, P), track.mean_pt, atol=1e-9)
