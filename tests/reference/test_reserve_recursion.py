"""Reserve against the closed form of its own equation and published orders of renewal."""

import numpy as np
import pytest

from coaching.science import reserve
from coaching.science.filtering import Belief
from coaching.science.quantities import QUANTITIES, defaults
from coaching.science.reserve import ReserveDrive
from tests.courses import calm

P = defaults()


def drive(days: int, load: float) -> ReserveDrive:
    nothing = np.zeros((days, 1))
    return ReserveDrive(nothing + load, nothing, nothing)


def test_settles_where_wear_and_regrowth_meet() -> None:
    """Closed form: S = S* - tau kappa W, for each renewal time of the bank."""
    course = calm(days=400, origin=399)
    track = reserve.follow(course, drive(400, 0.7), P)
    tau = reserve.renewal_d(P)[:, 0]
    expected = P["reserve_rested_pt"] - tau * P["reserve_wear_pt_per_slu"] * 0.7
    assert track.belief.mean[0, :, 0] == pytest.approx(expected, abs=1e-9)
    assert track.worked_pt(np.array([0.7]), P)[0] == pytest.approx(track.mean_pt[-1, 0], abs=1e-9)


def test_comes_back_as_a_first_order_system() -> None:
    """Closed form: without load the gap shrinks by 1 - 1/tau each day, weighted over the bank."""
    track = reserve.follow(calm(days=30, origin=0), drive(30, 0.0), P)
    gap0 = P["reserve_rested_pt"] - P["reserve_start_pt"]
    weights = np.array(reserve.RENEWAL_WEIGHTS)
    left = (weights * (1 - 1 / reserve.renewal_d(P)[:, 0]) ** 20).sum()
    assert P["reserve_rested_pt"] - track.mean_pt[20, 0] == pytest.approx(gap0 * left, rel=1e-9)


def test_renewal_lies_between_a_pink_tip_and_the_back_of_the_hand() -> None:
    """Baker & Kligman 1967: horny layer renewed in 2-3 weeks; pink tips in 2-5 days (common practice)."""
    assert 5 < P["reserve_renewal_d"] < 21
    assert (
        QUANTITIES["reserve_renewal_d"].low <= P["reserve_renewal_d"] <= QUANTITIES["reserve_renewal_d"].high
    )


def test_means_are_held_inside_the_ranges_of_the_register() -> None:
    """Reserve 0-10, rested 4-10, wear from a tenth to four times what is usual; the spread stays."""
    wear = P["reserve_wear_pt_per_slu"]
    wild = Belief(np.array([[[-3.0, 13.0, 0.4]], [[1.0, 12.0, 4.2]], [[-1.0, 9.0, 2.0 * wear]]]), np.ones((3, 3, 1, 3)))
    after = reserve.held(wild, P)
    assert after.mean[0, 0].tolist() == [0.0, 10.0, 0.4] and after.mean[1, 0].tolist() == [4.0, 10.0, 4.2]
    assert after.mean[2, 0] == pytest.approx([0.1 * wear, 4.0 * wear, 2.0 * wear], rel=1e-12)
    assert after.cov is wild.cov
