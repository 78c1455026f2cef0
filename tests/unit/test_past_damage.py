"""The past of the course: days that damage took show as taken."""

from __future__ import annotations

from datetime import date, timedelta

from coaching.rules.facts import AthleteFacts, EpisodeFact, LookFact
from coaching.usecases.past_damage import past_factors

FIRST = date(2027, 3, 1)


def day(n: int) -> date:
    return FIRST + timedelta(days=n)


def athlete(*episodes: EpisodeFact) -> AthleteFacts:
    return AthleteFacts("a", 22, "UTC", episodes=episodes)


def test_a_split_takes_its_days_until_it_is_seen_closed_and_then_sound() -> None:
    looks = (LookFact(day(4), "rimmed"), LookFact(day(6), "sound"))
    split = EpisodeFact("e", "R-ring-tip", "split", day(2), looks=looks)
    assert past_factors(athlete(split), FIRST, 8, 0.5) == [1, 1, 0, 0, 0.5, 0.5, 1, 1]


def test_damage_from_before_the_window_counts_in_it() -> None:
    split = EpisodeFact("e", "R-ring-tip", "split", day(-3))
    assert past_factors(athlete(split), FIRST, 3, 0.5) == [0, 0, 0]


def test_two_tender_sites_leave_less_than_one() -> None:
    tender = [EpisodeFact(n, "R-ring-tip", "split", day(0), looks=(LookFact(day(0), "thinned"),)) for n in "ab"]
    assert past_factors(athlete(*tender), FIRST, 1, 0.5) == [0.25]
