"""Neither the order of athletes nor the size of a batch changes a bit of any result."""

from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.science.inputs import Course, Episodes, Targets
from coaching.science.versions import CURRENT, get
from tests.courses import DAYS, damage, entered, joined, rows, told, unhurt

MODEL = get(CURRENT)
ATHLETES = 7


def results(course: Course, episodes: Episodes, targets: Targets) -> dict[str, Any]:
    entry = vars(MODEL.entries(course, episodes, targets))
    parts = {f"part {code}": values for code, values in entry.pop("parts").items()}
    entry.pop("episode_parts")
    return {**vars(MODEL.filter(course)[0]), **vars(MODEL.chance(course, episodes)), **entry, **parts}


def hurt(athletes: np.ndarray) -> Episodes:
    """Athlete 2 has a deep and a shallow split, athlete 5 a flapper; rows follow the order of the batch."""
    place = {int(a): row for row, a in enumerate(athletes)}
    found = [(2, damage(deep=1.0)), (2, damage(place="pad", deep=0.0)), (5, damage("flapper", "pad"))]
    kept = [(place[a], e) for a, e in found if a in place]
    if not kept:
        return unhurt()
    episodes = joined(*(e for _, e in kept))
    return Episodes(**{**vars(episodes), "athlete": np.array([row for row, _ in kept])})


def entries_of(athletes: np.ndarray, episodes: Episodes) -> Targets:
    weight = (episodes.athlete[None, :] == np.arange(len(athletes))[:, None]) * 1.0
    return entered(50, DAYS - 1, trip=True, athletes=len(athletes), weight=weight)


def run(course: Course, athletes: np.ndarray) -> dict[str, Any]:
    episodes = hurt(athletes)
    return results(rows(course, athletes), episodes, entries_of(athletes, episodes))


@given(st.integers(0, 2**32 - 1), st.permutations(range(ATHLETES)))
@settings(max_examples=3, deadline=None)
def test_order_changes_no_bit(seed: int, order: list[int]) -> None:
    course = told(np.random.default_rng(seed), ATHLETES)
    whole, mixed = run(course, np.arange(ATHLETES)), run(course, np.array(order))
    for name, values in whole.items():
        assert np.array_equal(values[np.array(order)], mixed[name], equal_nan=True), name


@given(st.integers(0, 2**32 - 1), st.integers(1, ATHLETES - 1))
@settings(max_examples=3, deadline=None)
def test_size_of_a_batch_changes_no_bit(seed: int, size: int) -> None:
    course = told(np.random.default_rng(seed), ATHLETES)
    whole = run(course, np.arange(ATHLETES))
    pieces = [run(course, np.arange(s, min(s + size, ATHLETES))) for s in range(0, ATHLETES, size)]
    for name, values in whole.items():
        assert np.array_equal(values, np.concatenate([p[name] for p in pieces]), equal_nan=True), name


def test_a_large_batch_equals_one_athlete_alone() -> None:
    course = told(np.random.default_rng(1), 150)
    whole = MODEL.chance(course, unhurt())
    for athlete in (0, 63, 64, 149):
        alone = MODEL.chance(rows(course, slice(athlete, athlete + 1)), unhurt())
        assert np.array_equal(whole.p[athlete], alone.p[0]) and np.array_equal(
            whole.low[athlete], alone.low[0]
        )
