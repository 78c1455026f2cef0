"""What is said before the warm-up fits half a minute, and names surface, minutes, tries and when to stop."""

from __future__ import annotations

from datetime import date
from itertools import product

import pytest

from coaching.rules import holds
from coaching.rules.conclusions import Limit, Today
from coaching.usecases.cutting import TodayWithheld
from coaching.wording import spoken

AS_OF = date(2027, 3, 11)
SITES = ("R-middle-tip-crease", "L-index-tip", "R-ring-base", "L-palm-callus", "R-thumb-little-side")
TEST = Limit(AS_OF, "fresh plastic", 30, 10, f"look:{AS_OF.isoformat()}")
WORDS_IN_HALF_A_MINUTE = 75
"""150 words a minute, an unhurried pace of speech (judgement)."""


@pytest.mark.parametrize("may_climb", ["free", "protected", "not-those-holds", "off", "medical", "not-known"])
def test_it_fits_half_a_minute_at_its_longest(may_climb: str) -> None:
    for sites, avoid in product((SITES, SITES[:1], ()), (holds.KINDS, ())):
        said = " ".join(spoken.brief(Today(may_climb, avoid, sites), (TEST,), AS_OF))
        assert 0 < len(said.split()) <= WORDS_IN_HALF_A_MINUTE


def test_surface_minutes_tries_and_stop_rule_are_said() -> None:
    said = " ".join(spoken.brief(Today("protected", (), SITES[:1]), (TEST,), AS_OF))
    for words in ("fresh plastic", "30 min", "10 hard tries", "only if the look", "Pain over 2"):
        assert words in said


@pytest.mark.parametrize("may_climb", ["off", "medical"])
def test_who_does_not_climb_hears_no_tries(may_climb: str) -> None:
    said = " ".join(spoken.brief(Today(may_climb, holds.KINDS, SITES), (Limit(AS_OF, None, 0, 0),), AS_OF))
    assert "tries" not in said and "Stop" not in said


def test_who_is_not_told_hears_whom_to_ask_and_no_site() -> None:
    (said,) = spoken.brief(TodayWithheld("protected"), (), AS_OF)
    assert "Ask" in said
