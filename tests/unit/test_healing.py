"""What a look says: pulls outrank eyes, stages re-base the clock, and what is not reached is said so."""

import numpy as np
import pytest

from coaching.science.healing import days_until, given, healing, share_of_fifths
from coaching.science.healing_looks import seen
from coaching.science.healing_times import PACES
from coaching.science.quantities import defaults
from tests.courses import ORIGIN, damage

P = defaults()


def at(stage: str, **said: float) -> np.ndarray:
    """Median days until sound of a deep crease split of twelve days ago, looked at today."""
    said = {"since": ORIGIN, **said}
    episode = damage(deep=1.0, noticed=ORIGIN - 12, looked=ORIGIN, stage=stage, **said)
    return healing(episode, ORIGIN, 61, P)


def test_each_stage_is_nearer_to_sound() -> None:
    days = [at(stage).sound_days[0, 1] for stage in ("open", "closing", "rimmed", "thinned", "sound")]
    assert days == sorted(days, reverse=True) and days[-1] == 0


def test_a_pull_outranks_the_eye() -> None:
    assert at("rimmed", opens=1.0).p_usable[0, 0] == 0 and at("rimmed", opens=0.0).p_usable[0, 0] > 0.9
    assert at("closing", opens=0.0).p_closed[0, 0] == 1 and at("closing").p_closed[0, 0] < 0.05


def test_a_longer_run_of_the_same_stage_is_further_on() -> None:
    lately, long = at("rimmed"), at("rimmed", since=ORIGIN - 6)
    assert long.sound_days[0, 1] < lately.sound_days[0, 1]


def test_nobody_looked_leaves_the_table() -> None:
    fresh = healing(damage(deep=1.0, noticed=ORIGIN - 12), ORIGIN, 61, P)
    assert 0 < fresh.p_sound[0, 0] < 0.1 and fresh.p_closed[0, 0] > 0.9
    s = seen(damage(noticed=ORIGIN - 12), ORIGIN)
    assert s.stage[0] == -1 and s.origin_d[0] == 12


def test_a_stage_that_outlasts_its_table_by_far_is_widely_open() -> None:
    late = healing(
        damage(deep=1.0, noticed=ORIGIN - 40, looked=ORIGIN, stage="open", opens=1.0), ORIGIN, 61, P
    )
    assert late.closed_days[0, 3] / late.closed_days[0, 0] > 5 and late.closed_days[0, 1] > 2


def test_not_reached_is_inf() -> None:
    slow = np.linspace(0, 0.6, 61)[None]
    assert days_until(slow)[0] == pytest.approx([10, 50, np.inf, np.inf])
    assert days_until(np.ones((1, 61)))[0] == pytest.approx(np.zeros(4))


def test_the_sixtieth_day_is_the_last_that_is_told() -> None:
    """Straight between days: a tenth at half past the fifty-ninth; what comes later is not reached."""
    late = np.zeros((2, 64))
    late[0, 60:], late[1, 61:] = 0.2, 1.0
    assert days_until(late)[:, 0] == pytest.approx([59.5, np.inf])


def test_given_what_had_not_happened() -> None:
    assert given(np.array([[1.0, 0.5, 0.1]]), np.array([[0.5]]))[0] == pytest.approx([0, 0, 0.8])


def flapper(stage: str | None, **said: float) -> tuple[float, float]:
    """Chance of a flapper of three days ago to be sound, and usable taped, on its fifth day."""
    look = {} if stage is None else {"stage": stage, "looked": ORIGIN}
    got = healing(damage("flapper", "pad", noticed=ORIGIN - 3, **look, **said), ORIGIN, 10, P)
    return float(got.p_sound[0, 2]), float(got.p_usable[0, 2])


def test_a_flapper_found_closed_on_day_three_is_no_worse_off_than_unseen() -> None:
    """Usable taped after 1-3 days and as before after 4-8 (common practice, no source): closed on day 3 is on time."""
    unseen, rimmed, thinned = flapper(None), flapper("rimmed"), flapper("thinned")
    assert abs(rimmed[0] - unseen[0]) < 0.06 and thinned[0] > unseen[0] + 0.1 and rimmed[1] > 0.95
    assert flapper("open")[0] <= flapper("closing")[0] <= rimmed[0]


def test_damage_is_never_told_without_a_doubt() -> None:
    """Judgement: kind and depth are told by eye, and the days of the trade have no source."""
    holed = healing(damage("holed", "pad", stage="open", pain=3.0), ORIGIN, 10, P)
    deep = healing(damage(deep=1.0, stage="open", opens=1.0), ORIGIN, 10, P)
    assert 0 < holed.p_usable[0, 0] < 0.05 and 0 < deep.p_usable[0, 2] < 0.05


def test_a_taped_try_that_went_well_makes_sure_of_usable() -> None:
    said = {"deep": 1.0, "noticed": ORIGIN - 6, "looked": ORIGIN, "stage": "rimmed"}
    untried, tried = (healing(damage(**said, tried=t), ORIGIN, 10, P) for t in (False, True))
    assert untried.p_usable[0, 0] < 0.9 and tried.p_usable[0, 0] == 1
    assert np.array_equal(untried.p_sound, tried.p_sound)


def test_fifths_of_the_posterior_pace() -> None:
    even = share_of_fifths(np.full((PACES, 1), 1 / PACES))[..., 0]
    assert even == pytest.approx(np.eye(PACES))
    slow = share_of_fifths(np.array([[0.0], [0], [0], [0], [1]]))[..., 0]
    assert slow[:, -1] == pytest.approx(np.ones(PACES))


def test_no_horizon_is_refused() -> None:
    with pytest.raises(ValueError, match="horizon"):
        healing(damage(), ORIGIN, 0, P)


def test_no_episode_is_no_rows() -> None:
    from tests.courses import unhurt

    assert healing(unhurt(), ORIGIN, 10, P).p_sound.shape == (0, 10)
