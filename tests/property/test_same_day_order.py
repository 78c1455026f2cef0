"""Shuffled or repeated reports of a day give the same arrays."""

from __future__ import annotations

import random
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from athletes.records.histories_arrays import Arrays, arrays
from coaching.rules.facts import AthleteFacts, CareFact, CheckInFact, EpisodeFact, LookFact, SessionFact

AS_OF = date(2027, 3, 11)
DAYS = st.integers(-4, 2).map(lambda n: AS_OF + timedelta(days=n))
RATING = st.none() | st.integers(0, 10)
FLAG = st.none() | st.booleans()
MADE_AT = st.none() | st.integers(0, 3).map(lambda h: datetime(2027, 3, 11, 6 + h, tzinfo=UTC))
CHECKINS = st.builds(
    CheckInFact,
    DAYS,
    reserve=RATING,
    dampness=RATING,
    agent_used=FLAG,
    rating_step=st.sampled_from([None, 1, 2]),
    made_at=MADE_AT,
)
SESSIONS = st.builds(
    SessionFact,
    DAYS,
    st.booleans(),
    minutes=st.none() | st.integers(0, 240),
    rpe=RATING,
    surface=st.sampled_from([None, "wood", "sharp rock"]),
    hard_tries=st.none() | st.integers(0, 40),
    skin_limited=FLAG,
    ordinal=st.integers(1, 2),
    air_temp_c=st.none() | st.floats(-10, 40),
)
CARE = st.builds(
    CareFact,
    DAYS,
    st.sampled_from(["planned", "done", "skipped"]),
    st.just("dry"),
    st.sampled_from(["aluminium salt", "methenamine cream"]),
    strength=st.sampled_from([None, "weak", "strong"]),
    part=st.sampled_from([None, "morning", "night"]),
    uses=st.none() | st.integers(0, 3),
)
LOOKS = st.builds(
    LookFact, DAYS, st.sampled_from(["open", "closing", "sound"]), pain=RATING, opens_on_pull=FLAG
)
EPISODES = st.lists(LOOKS, max_size=4).map(
    lambda looks: EpisodeFact("d1", "L-index-tip", "cut", AS_OF - timedelta(days=4), looks=tuple(looks))
)
ATHLETES = st.builds(
    AthleteFacts,
    st.just("a1"),
    st.just(20),
    st.just("UTC"),
    checkins=st.lists(CHECKINS, max_size=5).map(tuple),
    sessions=st.lists(SESSIONS, max_size=5).map(tuple),
    care=st.lists(CARE, max_size=5).map(tuple),
    episodes=EPISODES.map(lambda episode: (episode,)),
)


def mixed(one: AthleteFacts, chance: random.Random) -> AthleteFacts:
    """The same reports in another order, each at least once."""

    def again(rows: tuple[object, ...]) -> tuple[object, ...]:
        many = [*rows, *chance.sample(rows, chance.randint(0, len(rows)))]
        return tuple(chance.sample(many, len(many)))

    (episode,) = one.episodes
    tables = {name: again(getattr(one, name)) for name in ("checkins", "sessions", "care")}
    return replace(one, episodes=(replace(episode, looks=again(episode.looks)),), **tables)


def same(a: Arrays, b: Arrays) -> None:
    assert a.episode_ids == b.episode_ids
    same_values(a.course, b.course)
    same_values(a.episodes, b.episodes)


def same_values(a: Any, b: Any) -> None:
    """Every array of both, those of what they hold in turn included."""
    for name in (field.name for field in fields(a)):
        one, other = getattr(a, name), getattr(b, name)
        if is_dataclass(one):
            same_values(one, other)
        else:
            np.testing.assert_array_equal(one, other, name)


@settings(max_examples=200, deadline=None)
@given(ATHLETES, st.randoms(use_true_random=False))
def test_order_and_repetition_do_not_matter(one: AthleteFacts, chance: random.Random) -> None:
    same(arrays([one], AS_OF, past_days=5), arrays([mixed(one, chance)], AS_OF, past_days=5))


def test_the_last_write_of_an_answer_wins_and_an_unanswered_one_takes_nothing_back() -> None:
    early, late = (datetime(2027, 3, 11, hour, tzinfo=UTC) for hour in (6, 8))
    answers = (
        CheckInFact(AS_OF, reserve=4, dampness=None, made_at=late),
        CheckInFact(AS_OF, reserve=9, dampness=2, made_at=early),
    )
    course = arrays([AthleteFacts("a1", 20, "UTC", checkins=answers)], AS_OF, past_days=5).course
    assert (course.reserve_pt[0, 5], course.dampness_pt[0, 5]) == (4, 2)
