"""Readiness of entries: least day, day one, good days, and one change at a time."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom

from coaching.science.entries import good_days
from coaching.science.entry_case import least
from coaching.science.inputs import Course
from coaching.science.outputs import EntryChance
from coaching.science.quantities import defaults
from coaching.science.readiness import left_by_damage
from coaching.science.versions import CURRENT, get
from tests.courses import DAYS, ORIGIN, calm, damage, entered, joined, unhurt

MODEL, P = get(CURRENT), defaults()
PAST = np.arange(DAYS) <= ORIGIN
BOTH = np.array([[1.0, 1.0]])


def rated(**ratings: float) -> Course:
    """An athlete who gave the same ratings on every morning up to the origin."""
    given = {f"{n}_pt": np.where(PAST, v, np.nan) * np.ones((1, 1)) for n, v in ratings.items()}
    return calm(**given)


def entry(course: Course, **targets: object) -> EntryChance:
    return MODEL.entries(course, unhurt(), entered(50, 52, **targets))  # type: ignore[arg-type]


def test_competition_is_its_least_day_and_trip_its_first() -> None:
    chance = MODEL.chance(rated(reserve=5.0), unhurt()).p[0]
    assert entry(rated(reserve=5.0)).p[0] == pytest.approx(chance[50:53].min(), abs=1e-12)
    assert entry(rated(reserve=5.0), trip=True).p[0] == pytest.approx(chance[50], abs=1e-12)


def test_days_beyond_the_event_do_not_count() -> None:
    values = np.array([[0.9, 0.8, 0.1], [0.9, 0.8, 0.1]])
    p, _ = least(values, np.array([[True, True, False]] * 2), np.array([False, True]))
    assert p == pytest.approx([0.8, 0.9])


def test_good_days_of_even_days_are_binomial() -> None:
    """scipy.stats.binom: ten days at 0.7."""
    nodes, within = np.full((60, 2, 10), 0.7), np.ones((2, 10), dtype=bool)
    days, points = good_days(nodes, within, np.array([True, False]))
    assert list(points[:, 0]) == [binom(10, 0.7).ppf(q) for q in (0.5, 0.1, 0.9)]
    assert days[0] == 10 and np.isnan(days[1]) and np.all(np.isnan(points[:, 1]))


def test_worn_skin_is_told_by_reserve_and_load() -> None:
    worn = rated(reserve=3.0)
    plan = np.where(np.arange(DAYS) > ORIGIN, 2.0, 0.5) * np.ones((1, 1))
    parts = entry(replace(worn, load_plan_slu=plan)).parts
    assert parts["load"][0] > 0.1 and parts["load"][0] == max(v[0] for v in parts.values())


def test_damp_skin_is_told_by_dampness_and_dry_skin_by_dryness() -> None:
    damp, dry = entry(rated(dampness=8.0)).parts, entry(rated(dampness=1.0)).parts
    assert damp["dampness"][0] > 0.1 and abs(damp["dryness"][0]) < 0.01
    assert dry["dryness"][0] > 0.1 and abs(dry["dampness"][0]) < 0.01


def test_glassy_skin_is_told_by_glassy() -> None:
    assert entry(rated(hardness=9.0)).parts["glassy"][0] > 0.1


def test_hot_damp_air_is_told_by_air_and_unknown_air_is_not() -> None:
    air = {n: np.where(PAST, np.nan, v) * np.ones((1, 1)) for n, v in (("temp_c", 30.0), ("rh_pct", 80.0))}
    course = rated(dampness=5.5)
    assert entry(replace(course, **air)).parts["air"][0] > 0.1 and abs(entry(course).parts["air"][0]) < 1e-9


def test_an_agent_that_dries_too_far_is_told_by_agent() -> None:
    course = rated(dampness=2.0)
    course.dose_plan[0, ORIGIN + 1 :, 1] = 1.0
    assert entry(course).parts["agent"][0] > 0.05


def test_each_episode_is_told_apart() -> None:
    deep, flapper = damage(deep=1.0, noticed=ORIGIN - 1), damage("flapper", "pad", noticed=ORIGIN - 1)
    got = MODEL.entries(rated(reserve=7.0), joined(deep, flapper), entered(46, 46, weight=BOTH))
    alone = MODEL.entries(
        rated(reserve=7.0), joined(deep, flapper), entered(46, 46, weight=np.array([[1.0, 0.0]]))
    )
    assert got.episode_parts[0, 0] > got.episode_parts[0, 1] > 0
    assert got.p[0] + got.episode_parts[0, 1] == pytest.approx(alone.p[0]) and alone.episode_parts[0, 1] == 0
    assert got.p_protected[0] <= alone.p_protected[0] < 1
    assert got.parts["pink"][0] == 0  # damage, but no pink tips


def test_an_entry_without_damage_beside_one_with_some_has_no_part_of_it() -> None:
    course = calm(2, reserve_pt=np.where(PAST, 6.0, np.nan) * np.ones((2, 1)))
    weight = np.array([[1.0, 1.0], [0.0, 0.0]])  # both are the first athlete's
    got = MODEL.entries(course, joined(damage(), damage("flapper", "pad")), entered(46, 46, athletes=2, weight=weight))
    assert np.all(got.episode_parts[0] > 0) and np.all(got.episode_parts[1] == 0) and got.p[1] > got.p[0]


def left(usable: float, sound: float, **said: object) -> float:
    shape = np.ones((1, 1, 1))
    return float(left_by_damage(damage(**said), usable * shape, sound * shape, P)[0, 0, 0])  # type: ignore[arg-type]


def test_tape_keeps_a_good_half_and_more_once_it_was_tried() -> None:
    assert left(1, 0) == pytest.approx(P["taped_share"]) and left(0, 0) == 0 and left(1, 1) == 1
    assert left(1, 0, tried=True) == pytest.approx(P["taped_tried_share"]) and left(1, 0, tried=True) > left(1, 0)
    assert left(0, 0, kind="pink") == pytest.approx(1 - P["pink_matters_share"]) and left(1, 1, kind="pink") == 1


def chance(first: int, *pieces: object, weight: float = 1.0) -> EntryChance:
    """Of an athlete who rated 6 every morning, with damage, that many days from now."""
    some = joined(*pieces)  # type: ignore[arg-type]
    weights = np.full((1, len(pieces)), weight)
    return MODEL.entries(rated(reserve=6.0), some, entered(ORIGIN + first, ORIGIN + first, weight=weights))


def test_pink_tips_cost_the_day_and_are_nearly_forgotten_on_the_sixth() -> None:
    """Protected after 1-2 days, as before after 2-5 (common practice, no source)."""
    pink = damage("pink", "pad")
    p = [chance(day, pink) for day in (0, 2, 3, 6)]
    calm_p = [entry_on(day).p[0] for day in (0, 2, 3, 6)]
    assert p[0].p[0] < 0.5 * calm_p[0] and 0.5 < p[2].p[0] / calm_p[2] < 0.95 and p[3].p[0] > 0.95 * calm_p[3]
    assert [one.p[0] for one in p] == sorted(one.p[0] for one in p)
    assert p[0].parts["pink"][0] == pytest.approx(calm_p[0] - p[0].p[0]) and entry_on(0).parts["pink"][0] == 0


def entry_on(first: int) -> EntryChance:
    return MODEL.entries(rated(reserve=6.0), unhurt(), entered(ORIGIN + first, ORIGIN + first))


@pytest.mark.parametrize(
    ("first", "piece"),
    [(2, damage(deep=1.0, stage="open", opens=1.0, pain=4.0)), (0, damage("holed", "pad", stage="open", pain=3.0))],
)
def test_no_damage_is_told_without_a_range(first: int, piece: object) -> None:
    """Judgement: kind and depth were told by eye, and the days of the trade have no source."""
    got = chance(first, piece)
    assert 0 <= got.low[0] < got.p[0] < got.high[0] < 0.1


def test_a_trip_on_sharp_rock_without_a_plan_is_no_row_of_good_days() -> None:
    """Two days on, one off is about right on rough rock (common practice, no source): four or five days of seven."""
    trip, days = entered(ORIGIN + 3, ORIGIN + 9, trip=True), np.arange(DAYS)
    course = rated(reserve=6.0, dampness=5.0, hardness=4.0)
    plan = np.where(days >= ORIGIN + 3, np.nan, course.load_plan_slu)
    rock = np.where(days >= ORIGIN + 3, P["load_trip_day_slu"] * P["surface_sharp_rock"], np.nan) * np.ones((1, 1))
    usual, sharp = (
        MODEL.entries(replace(course, load_plan_slu=plan, load_trip_slu=load), unhurt(), trip)
        for load in (course.load_trip_slu, rock)
    )
    assert 3 <= sharp.good_p50[0] <= 5 and sharp.good_p50[0] < usual.good_p50[0]
    assert sharp.good_low[0] < sharp.good_p50[0]


def test_usual_is_unhurt_and_range_holds_the_chance() -> None:
    hurt = MODEL.entries(rated(reserve=6.0), damage(deep=1.0), entered(42, 43, weight=np.ones((1, 1))))
    assert hurt.p[0] < 0.1 and hurt.p_usual[0] == pytest.approx(
        entry(rated(reserve=6.0)).p_usual[0], abs=0.05
    )
    assert hurt.low[0] <= hurt.p[0] <= hurt.high[0]


@pytest.mark.parametrize(("first", "last"), [(50, DAYS), (52, 50), (ORIGIN - 9, ORIGIN - 8)])
def test_events_outside_the_course_are_refused(first: int, last: int) -> None:
    with pytest.raises(ValueError, match="event"):
        MODEL.entries(calm(), unhurt(), entered(first, last))


def test_no_entries_is_no_rows() -> None:
    none = entered(50, 52, athletes=0)
    assert MODEL.entries(calm(), unhurt(), none).p.shape == (0,)
