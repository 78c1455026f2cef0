"""What a look says: pulls outrank eyes, stages re-base the clock, and what is not reached is said so."""

import numpy as np
import pytest

from coaching.science.healing import PACES, days_until, given, healing, share_of_fifths
from coaching.science.healing_looks import seen
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
    assert at("closing", opens=0.0).p_closed[0, 0] == 1 and at("closing").p_closed[0, 0] == 0


def test_a_longer_run_of_the_same_stage_is_further_on() -> None:
    lately, long = at("rimmed"), at("rimmed", since=ORIGIN - 6)
    assert long.sound_days[0, 1] < lately.sound_days[0, 1]


def test_nobody_looked_leaves_the_table() -> None:
    fresh = healing(damage(deep=1.0, noticed=ORIGIN - 12), ORIGIN, 61, P)
    assert 0 < fresh.p_sound[0, 0] < 0.1 and fresh.p_closed[0, 0] > 0.9
    s = seen(damage(noticed=ORIGIN - 12), ORIGIN)
    assert not (s.open | s.closing | s.closed | s.sound)[0] and s.origin_d[0] == 12


def test_a_stage_that_outlasts_its_table_by_far_is_widely_open() -> None:
    late = healing(
        damage(deep=1.0, noticed=ORIGIN - 40, looked=ORIGIN, stage="open", opens=1.0), ORIGIN, 61, P
    )
    assert late.closed_days[0, 3] / late.closed_days[0, 0] > 5 and late.closed_days[0, 1] > 2


def test_not_reached_is_inf() -> None:
    slow = np.linspace(0, 0.6, 61)[None]
    assert days_until(slow)[0] == pytest.approx([10, 50, np.inf, np.inf])
    assert days_until(np.ones((1, 61)))[0] == pytest.approx(np.zeros(4))


def test_given_what_had_not_happened() -> None:
    assert given(np.array([[1.0, 0.5, 0.1]]), np.array([[0.5]]))[0] == pytest.approx([0, 0, 0.8])


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
