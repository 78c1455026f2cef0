"""Healing against the working ranges of the trade (common practice, no source) and a wound study.

The ranges are read as 10-90 % points. They are rough, and stand on day steps: half a day or a sixth is
allowed.
"""

import numpy as np
import pytest

from coaching.science.healing import healing
from coaching.science.outputs import Healing
from coaching.science.quantities import defaults
from tests.courses import ORIGIN, damage

P = defaults()


def fresh(kind: str, place: str, deep: float) -> Healing:
    return healing(damage(kind, place, deep=deep), ORIGIN, 61, P)


def near(got: float, stated: float) -> bool:
    return abs(got - stated) <= max(0.5, stated / 6)


# kind, place, deep, usable taped from-to, as before from-to: common practice, no source; * marks judgement.
RANGES = [
    ("split", "pad", 0.0, (2, 4), (3, 10)),
    ("split", "pad", 1.0, (4, 8), (7, 21)),  # usable *
    ("split", "crease", 0.0, (2, 4), (5, 16)),
    ("split", "crease", 1.0, (4, 9), (14, 28)),  # usable: from 4-7 days, and not while it opens *
    ("flapper", "pad", np.nan, (1, 3), (4, 8)),
    ("blister", "pad", np.nan, (2, 4), (5, 10)),
    ("holed", "pad", np.nan, (3, 5), (5, 10)),
    ("graze", "other", np.nan, (3, 7), (7, 14)),
    ("tear", "pad", np.nan, (2, 4), (5, 10)),  # *
    ("cut", "other", 0.0, (2, 4), (5, 14)),  # *
    ("cut", "other", 1.0, (5, 10), (10, 21)),  # *
]


@pytest.mark.parametrize(("kind", "place", "deep", "usable", "sound"), RANGES)
def test_ranges_of_the_trade(
    kind: str, place: str, deep: float, usable: tuple[int, int], sound: tuple[int, int]
) -> None:
    got = fresh(kind, place, deep)
    assert near(got.usable_days[0, 0], usable[0]) and near(got.usable_days[0, 3], usable[1])
    assert near(got.sound_days[0, 0], sound[0]) and near(got.sound_days[0, 3], sound[1])


# Judgement from the same ranges: middle days until closed, and from there until sound.
STAGES = [("pad", 1.0, 4, 8), ("crease", 1.0, 6, 13), ("pad", 0.0, 0, 5), ("crease", 0.0, 0, 8)]


@pytest.mark.parametrize(("place", "deep", "closes", "grows"), STAGES)
def test_middle_of_both_stages(place: str, deep: float, closes: float, grows: float) -> None:
    got = fresh("split", place, deep)
    assert near(got.closed_days[0, 1], closes) or got.closed_days[0, 1] < 1
    assert near(got.sound_days[0, 1], closes + grows)


def test_deep_crease_split_that_still_opens_on_day_four() -> None:
    """Expert judgement: eighty in a hundred are closed by day 8 from the injury; sound lies within 14-28
    days.
    """
    got = healing(damage(noticed=ORIGIN - 4, looked=ORIGIN, stage="open", opens=1.0, deep=1.0), ORIGIN, 61, P)
    assert np.ceil(4 + got.closed_days[0, 2]) == 8
    assert 14 <= 4 + got.sound_days[0, 0] and 4 + got.sound_days[0, 3] <= 28.5
    assert got.p_usable[0, 0] == 0 and got.p_usable[0, 13 - 4] > 0.7


def test_flapper_five_days_before() -> None:
    """Expert judgement: taped about day 3, as before about day 7-8, so not sound on day 5."""
    got = fresh("flapper", "pad", np.nan)
    assert np.ceil(got.usable_days[0, 2]) == 3 and 7 <= np.ceil(got.sound_days[0, 2]) <= 8
    assert got.p_usable[0, 5] > 0.9 and got.p_sound[0, 5] < 0.5


def test_want_of_cover_costs_what_wounds_of_pigs_show() -> None:
    """Vogt et al. 1995: closed on day 6 wet, 7 moist, 8 dry; dry over wet 1.33, moist over wet 1.17."""
    days = [healing(damage(deep=1.0, balm_share=s), ORIGIN, 61, P).closed_days[0, 1] for s in (1.0, 0.0)]
    assert 7 / 6 - 0.02 <= days[1] / days[0] <= 8 / 6  # read between whole days
