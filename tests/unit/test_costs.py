"""An athlete's own pace of wear and return: the bank by hand, and the prior where nobody has answered."""

import numpy as np
import pytest
from scipy import stats

from coaching.science import reserve, skin
from coaching.science.costs import LEAST_WEIGHT, OwnPace, own_pace
from coaching.science.inputs import Course
from coaching.science.versions import CURRENT, get
from tests.courses import calm

P = get(CURRENT).parameters


def pace_of(course: Course) -> tuple[skin.State, OwnPace]:
    state = skin.follow(course, P)
    return state, own_pace(state, P)


def test_before_any_answer_it_is_the_prior() -> None:
    """80 of 100 of a normal law (scipy.stats); exponential return is half done after ln 2 of its time."""
    said = pace_of(calm(2))[1]
    law = stats.norm(P["reserve_wear_pt_per_slu"], P.spread("reserve_wear_pt_per_slu"))
    assert said.wear_low_pt_per_slu == pytest.approx([max(law.ppf(0.1), 0.0)] * 2, rel=1e-6)
    assert said.wear_high_pt_per_slu == pytest.approx([law.ppf(0.9)] * 2, rel=1e-6)
    times = np.log(2) * reserve.renewal_d(P)[:, 0]
    assert said.half_back_low_d == pytest.approx([times.min()] * 2)
    assert said.half_back_high_d == pytest.approx([times.max()] * 2)


def test_after_answers_it_is_the_mixture_of_the_bank() -> None:
    """Law of total variance, one athlete and one component at a time; unlikely renewal times are left out."""
    rng, days = np.random.default_rng(9), 120
    answered = np.round(np.clip(rng.normal(6.0, 2.0, (12, days)), 0, 10))
    state, said = pace_of(calm(12, days, days - 1, reserve_pt=answered, load_done_slu=rng.gamma(1.0, 1.0, (12, days))))
    track, times = state.reserve, reserve.renewal_d(P)[:, 0]
    left_out = 0
    for row in range(12):
        weight = np.exp(track.log_weight[:, row])
        means, own = track.belief.mean[2, :, row], track.belief.cov[2, 2, :, row]
        mean = sum(w * m for w, m in zip(weight, means, strict=True))
        var = sum(w * (v + (m - mean) ** 2) for w, m, v in zip(weight, means, own, strict=True))
        low, high = stats.norm(mean, np.sqrt(var)).interval(0.8)
        assert said.wear_low_pt_per_slu[row] == pytest.approx(max(low, 0.0), rel=1e-6)
        assert said.wear_high_pt_per_slu[row] == pytest.approx(high, rel=1e-6)
        likely = [np.log(2) * time for w, time in zip(weight, times, strict=True) if w >= LEAST_WEIGHT]
        left_out += len(likely) < len(times)
        assert (said.half_back_low_d[row], said.half_back_high_d[row]) == pytest.approx((min(likely), max(likely)))
    assert left_out > 0
