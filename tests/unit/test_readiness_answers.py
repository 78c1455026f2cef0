"""Which answers speak of the whole skin: those of days without unsound damage, to the very columns at either end."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coaching.science.inputs import KINDS, PLACES, Episodes, Finished
from coaching.science.readiness import usable_answers
from tests.courses import DAYS, ORIGIN, calm, damage, unhurt

EVERY_DAY = calm(limited=np.zeros((1, DAYS)))


def finished(noticed: int, sound_by: int) -> Episodes:
    def one(day: int) -> np.ndarray:
        return np.array([day], dtype=np.int64)

    over = Finished(
        athlete=one(0), kind=one(KINDS.index("split")), place=one(PLACES.index("pad")), deep=np.array([1.0]),
        noticed=one(noticed), begun=one(noticed), shut_after=one(noticed), shut_by=one(sound_by),
        sound_after=one(sound_by), sound_by=one(sound_by), balm_share=np.array([np.nan]), reopened=one(0),
        closed_d=one(0),
    )  # fmt: skip
    return replace(unhurt(), finished=over)


def watched(noticed: int, sound_by: int) -> Episodes:
    return damage(noticed=noticed, looked=max(sound_by, noticed), stage="sound", since=sound_by)


@pytest.mark.parametrize("hurt", [finished, watched])
@pytest.mark.parametrize(
    ("noticed", "sound_by", "left_out"), [(0, 3, range(3)), (-4, 2, range(2)), (-9, -2, range(0)), (-9, 0, range(0)),
                                          (5, 6, range(5, 6)), (7, 7, range(0))],
)  # fmt: skip
def test_answers_are_left_out_from_the_day_noticed_to_the_day_before_it_was_sound(
    hurt: object, noticed: int, sound_by: int, left_out: range
) -> None:
    """Days before the course count as its first; damage that was over by then takes no answer away."""
    answers = usable_answers(EVERY_DAY, hurt(noticed, sound_by))[0]  # type: ignore[operator]
    gone = np.flatnonzero(np.isnan(answers[: ORIGIN + 1]))
    assert gone.tolist() == list(left_out)
    assert np.all(np.isnan(answers[ORIGIN + 1 :]))  # nobody has answered for days ahead


def test_damage_that_is_not_sound_takes_every_answer_from_its_first_day_and_pink_tips_none() -> None:
    open_still = damage(noticed=0, looked=4, stage="rimmed")
    assert np.all(np.isnan(usable_answers(EVERY_DAY, open_still)))
    pink = damage("pink", "pad", noticed=0, looked=4, stage="open")
    assert np.all(usable_answers(EVERY_DAY, pink)[0, : ORIGIN + 1] == 0.0)
