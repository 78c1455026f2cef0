"""How an athlete answers: whether the same number is given nearly every time. A fact about answers, never a fault."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coaching.science.inputs import Bools, Floats

RECENT_ANSWERS, FEWEST_ANSWERS, SAME_SHARE = 28, 14, 0.85
"""The answers looked at, the fewest that say anything, and the share from which they count as the same (judgement)."""


class SameAnswers(NamedTuple):
    """Of each athlete's last answers to one question: how many, the share of the commonest, and whether it counts."""

    answers: Floats  # (N,)
    share: Floats  # (N,) 0-1, NaN with no answer
    same: Bools  # (N,)


def same_answers(rating_pt: Floats, origin: int) -> SameAnswers:
    """Return how often an athlete's last answers are the same number.

    Parameters: rating_pt (N, T), whole numbers 0-10, NaN not answered; origin (column), the last day read.
    Returns: SameAnswers over at most RECENT_ANSWERS answers.
    Raises: ValueError where the origin is not a column.
    Assumes: a steady skin answers steadily too, so this says only that such answers tell less.
    Source: judgement; tests/unit/test_reporting.py.
    """
    if not 0 <= origin < rating_pt.shape[1]:
        raise ValueError("origin must be a column of the ratings")
    past = rating_pt[:, : origin + 1]
    given = ~np.isnan(past)
    later = np.cumsum(given[:, ::-1], axis=1)[:, ::-1]  # answers from this day on
    recent = given & (later <= RECENT_ANSWERS)
    count = recent.sum(axis=1).astype(np.float64)
    commonest = np.zeros(count.shape)
    for number in range(11):
        commonest = np.maximum(commonest, (recent & (past == number)).sum(axis=1))
    share = np.where(count > 0, commonest / np.maximum(count, 1.0), np.nan)
    return SameAnswers(count, share, (count >= FEWEST_ANSWERS) & (commonest >= SAME_SHARE * count))
