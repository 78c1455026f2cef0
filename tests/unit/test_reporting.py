"""The same number nearly every time is noticed; few answers, other answers and later answers are not."""

import numpy as np
import pytest

from coaching.science.reporting import FEWEST_ANSWERS, RECENT_ANSWERS, same_answers


def row(*numbers: float) -> np.ndarray:
    return np.array([numbers], dtype=np.float64)


def test_the_share_of_the_commonest_number_is_counted_over_answers_only() -> None:
    said = same_answers(row(6, np.nan, 6, 6, np.nan, 5), 5)
    assert said.answers[0] == 4 and said.share[0] == 0.75 and not said.same[0]


def test_the_same_number_counts_from_enough_answers_on() -> None:
    few, enough = row(*[6] * (FEWEST_ANSWERS - 1)), row(*[6] * FEWEST_ANSWERS)
    assert not same_answers(few, few.shape[1] - 1).same[0] and same_answers(enough, enough.shape[1] - 1).same[0]


@pytest.mark.parametrize(("other", "same"), [(3, True), (4, False)])
def test_85_of_100_is_the_edge(other: int, same: bool) -> None:
    """17 of 20 answers are 0.85 exactly, 16 of 20 are not."""
    said = row(*[7] * (20 - other), *[2] * other)
    assert bool(same_answers(said, 19).same[0]) is same


def test_only_the_last_answers_and_none_after_the_origin_are_read() -> None:
    said = row(*range(10), *[4] * RECENT_ANSWERS, *[9] * 5)
    at = 10 + RECENT_ANSWERS - 1
    assert same_answers(said, at).share[0] == 1.0 and same_answers(said, at).answers[0] == RECENT_ANSWERS
    assert same_answers(said, at + 5).share[0] == (RECENT_ANSWERS - 5) / RECENT_ANSWERS


def test_silence_has_no_share() -> None:
    said = same_answers(np.full((2, 30), np.nan), 29)
    assert np.isnan(said.share).all() and not said.same.any()


def test_one_answer_on_the_first_day_is_all_of_them() -> None:
    said = same_answers(row(3.0), 0)
    assert said.answers[0] == 1 and said.share[0] == 1.0 and not said.same[0]


def test_an_origin_outside_is_refused() -> None:
    with pytest.raises(ValueError, match="column"):
        same_answers(row(1.0), 1)
