"""A pass that goes on from a footing ends where the pass over the whole course ends, whatever was late or missing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.science import footing as footings
from coaching.science.footing import Footing
from coaching.science.inputs import Course, Episodes
from coaching.science.versions import CURRENT, get
from tests.courses import damage, entered, rows, told, unhurt

MODEL = get(CURRENT)
DAYS, ORIGIN, FIRST = 170, 130, 74
EXACT = 1e-9  # asked for; the sums are the same in the same order, so that the bits are in fact equal
SEEDS = st.integers(0, 2**32 - 1)


def course_of(seed: int, athletes: int = 4) -> Course:
    """Answers on six days of ten, loads unlogged on two of ten, agents from the fifteenth day on."""
    rng = np.random.default_rng(seed)
    course = told(rng, athletes, DAYS, ORIGIN)
    air = rng.normal(20.0, 5.0, (2, athletes, DAYS))
    silent = rng.random((athletes, DAYS)) < 0.5
    moist = np.where(silent, np.nan, (rng.random((athletes, DAYS)) < 0.3) * 1.0)
    return replace(course, temp_c=np.where(silent, np.nan, air[0]), rh_pct=air[1] + 30, moist_done=moist)


def as_known_on(course: Course, origin: int) -> Course:
    return replace(course, origin=origin)


def kept(course: Course, episodes: Episodes, at: int, start: Footing | None = None) -> Footing:
    """The footing on the morning `at`, from the first day or from an earlier footing, through its bytes."""
    _, state = MODEL.filter(course, footing=start, keep=at)
    found = MODEL.footing(course, episodes, state, at)
    return footings.unpacked(found.ordinal, footings.packed(found), MODEL.parameters)


def results(course: Course, episodes: Episodes, start: Footing | None = None) -> dict[str, Any]:
    """Everything that is read of a pass: today and ahead of the estimate, the chances shown, the entries."""
    estimate, state = MODEL.filter(course, footing=start)
    n = course.athletes
    weight = (episodes.athlete[None, :] == np.arange(n)[:, None]) * 1.0
    targets = entered(ORIGIN + 9, ORIGIN + 14, trip=True, athletes=n, weight=weight)
    entry = vars(MODEL.entries(course, episodes, targets, state=state))
    parts = {f"part {code}": values for code, values in entry.pop("parts").items()}
    ahead = {k: v[:, ORIGIN:] if v.ndim > 1 else v for k, v in vars(estimate).items()}
    chance = {f"chance {k}": v for k, v in vars(MODEL.chance(course, episodes, state=state, first=FIRST)).items()}
    skin = MODEL.skin_chance(course, episodes, slice(FIRST, ORIGIN + 1), state=state)
    return {**ahead, **chance, **entry, **parts, "skin": skin}


def same(a: dict[str, Any], b: dict[str, Any]) -> None:
    for name, values in a.items():
        np.testing.assert_allclose(b[name], values, rtol=0, atol=EXACT, equal_nan=True, err_msg=name)


@given(SEEDS, st.integers(1, ORIGIN))
@settings(max_examples=4, deadline=None)
def test_going_on_from_any_morning_is_the_whole_pass(seed: int, at: int) -> None:
    course, hurt = course_of(seed), damage(deep=1.0, noticed=ORIGIN - 9, looked=ORIGIN - 2, stage="closing")
    start = kept(as_known_on(course, max(at, ORIGIN - 30)), hurt, at)
    same(results(course, hurt), results(course, hurt, start))


@given(SEEDS, st.lists(st.integers(1, 6), min_size=3, max_size=8))
@settings(max_examples=3, deadline=None)
def test_night_after_night_is_the_whole_pass(seed: int, steps: list[int]) -> None:
    """Each night goes on from the footing of the last and keeps one of its own, some nights left out."""
    course, at = course_of(seed), ORIGIN - sum(steps)
    start = kept(as_known_on(course, at), unhurt(), at)
    for step in steps:
        at += step
        start = kept(as_known_on(course, at), unhurt(), at, start)
    same(results(course, unhurt()), results(course, unhurt(), start))


@given(SEEDS, st.integers(66, ORIGIN - 1), st.integers(0, 40))
@settings(max_examples=3, deadline=None)
def test_a_late_answer_is_as_good_as_one_in_time(seed: int, day: int, before: int) -> None:
    """From a footing before the changed day; the digest tells that a later footing does not hold any more."""
    was = course_of(seed)
    late = replace(was, reserve_pt=was.reserve_pt.copy(), answered=was.answered.copy())
    late.reserve_pt[1, day], late.answered[1, day] = 11.0 - np.nan_to_num(was.reserve_pt[1, day], nan=5.0), True
    start = kept(as_known_on(was, day), unhurt(), day - min(before, day - 1))
    same(results(late, unhurt()), results(late, unhurt(), start))
    old, new = (footings.digests(c, unhurt(), day + 1) for c in (was, late))
    assert [a == b for a, b in zip(old, new, strict=True)] == [True, False, True, True]
    assert footings.digests(was, unhurt(), day) == footings.digests(late, unhurt(), day)


CHANGES = ("reserve_pt", "dampness_pt", "hardness_pt", "half_step_pt", "limited", "load_done_slu",
           "load_plan_slu", "dose_done", "dose_plan", "filed_done", "moist_done", "temp_c", "rh_pct",
           "answered")  # fmt: skip


@pytest.mark.parametrize("name", CHANGES)
def test_the_digest_covers_every_array_that_the_filters_read(name: str) -> None:
    was = course_of(5)
    values = getattr(was, name).copy()
    values[2, 70] = ~values[2, 70] if name == "answered" else np.nan_to_num(values[2, 70], nan=3.0) + 1.0
    changed = replace(was, **{name: values})
    old, new = (footings.digests(c, unhurt(), 71) for c in (was, changed))
    assert [a == b for a, b in zip(old, new, strict=True)] == [True, True, False, True]
    assert footings.digests(was, unhurt(), 70) == footings.digests(changed, unhurt(), 70)


def test_what_is_not_in_the_digest_changes_no_state() -> None:
    """Body load and the days ahead are read by nobody who keeps a footing."""
    was = course_of(6)
    changed = replace(was, strain_done_au=np.full_like(was.strain_done_au, 9.0))
    a, b = (footings.packed(kept(as_known_on(c, 100), unhurt(), 100)) for c in (was, changed))
    assert a == b


def test_damage_decides_which_answers_count_and_so_belongs_to_the_digest() -> None:
    course = course_of(7)
    hurt = damage(noticed=60, looked=80, since=80, stage="sound")
    assert footings.digests(course, hurt, 100)[0] != footings.digests(course, unhurt(), 100)[0]
    assert footings.digests(course, hurt, 60) == footings.digests(course, unhurt(), 60)


@given(SEEDS, st.permutations(range(4)))
@settings(max_examples=2, deadline=None)
def test_neither_order_nor_company_changes_a_byte_of_a_footing(seed: int, order: list[int]) -> None:
    course = course_of(seed)
    whole = footings.packed(kept(course, unhurt(), 100))
    assert footings.packed(kept(rows(course, np.array(order)), unhurt(), 100)) == [whole[i] for i in order]
    assert footings.packed(kept(rows(course, [2]), unhurt(), 100)) == whole[2:3]


@pytest.mark.parametrize("begin", [0, 1, 3, 5])
def test_days_before_a_footing_are_filled_in_as_far_as_they_are_kept(begin: int) -> None:
    recent = np.array([[[9.0]] * 3, [[1.0], [2.0], [3.0]]])  # the three days before the morning, one athlete
    days = np.where(np.arange(7) < begin, 0.0, 7.0)[:, None]
    said = footings.remembered(recent, begin, days, 1)[:, 0]
    expected = [*[np.nan] * (begin - 3), *[1.0, 2.0, 3.0][max(3 - begin, 0) :], *[7.0] * (7 - begin)]
    np.testing.assert_array_equal(said, expected)


def test_bytes_of_another_length_are_refused() -> None:
    with pytest.raises(ValueError, match="another model"):
        footings.unpacked(739100, [b"12345678"], MODEL.parameters)


def test_a_footing_after_the_origin_is_refused() -> None:
    course = course_of(8)
    start = kept(course, unhurt(), 120)
    with pytest.raises(ValueError, match="up to its origin"):
        MODEL.filter(as_known_on(course, 110), footing=start)
