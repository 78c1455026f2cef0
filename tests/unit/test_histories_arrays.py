"""Facts -> arrays in fixed units: what is known, what is nought, what stays unknown."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest

from athletes.records.histories_arrays import Arrays, arrays
from athletes.records.histories_care import dose_frac
from coaching.rules.facts import (
    AthleteFacts,
    AwayFact,
    CareFact,
    CheckInFact,
    EntryFact,
    EpisodeFact,
    LookFact,
    SessionFact,
    VenueAirFact,
)
from coaching.science.inputs import KINDS, PLACES

AS_OF = date(2027, 3, 11)
PAST = 5
"""Column 5 is the day itself, column 4 the day before."""


def day(column: int) -> date:
    return AS_OF + timedelta(days=column - PAST)


def made(**fields: Any) -> Arrays:
    return arrays([AthleteFacts("a1", 20, "UTC", **fields)], AS_OF, past_days=PAST, ahead_days=8)


def hour(column: int, planned: bool = False, **changes: Any) -> SessionFact:
    """An hour at effort 5 on plastic: one unit of skin load."""
    return SessionFact(day(column), planned, **{"minutes": 60, "rpe": 5, "surface": "plastic", **changes})


def care(column: int, form: str, verb: str = "dry", status: str = "done", **changes: Any) -> CareFact:
    return CareFact(day(column), status, verb, form, **changes)


def test_a_day_without_a_report_is_not_known() -> None:
    course = made().course
    for values in (
        course.reserve_pt,
        course.load_done_slu,
        course.load_plan_slu,
        course.limited,
        course.filed_done,
    ):
        assert np.isnan(values).all()
    assert np.isnan(course.dose_done).all() and not course.answered.any()


def test_sessions_of_a_day_add_up() -> None:
    course = made(sessions=(hour(3), hour(3, ordinal=2, minutes=30))).course
    assert course.load_done_slu[0, 3] == pytest.approx(1.5) and course.strain_done_au[0, 3] == 450


def test_a_day_with_one_session_of_unknown_load_is_unknown() -> None:
    course = made(sessions=(hour(3), hour(3, ordinal=2, minutes=None))).course
    assert np.isnan(course.load_done_slu[0, 3])


def test_a_done_session_without_minutes_is_unknown_though_its_plan_is_known() -> None:
    course = made(sessions=(hour(3, True), hour(3, minutes=None))).course
    assert np.isnan(course.load_done_slu[0, 3]) and course.load_plan_slu[0, 3] == 1


def test_tries_count_before_minutes() -> None:
    by_tries = made(sessions=(hour(3, hard_tries=24),)).course.load_done_slu[0, 3]
    assert by_tries == made(sessions=(hour(3, hard_tries=24, minutes=None),)).course.load_done_slu[0, 3] != 1


@pytest.mark.parametrize(
    "fields",
    [
        {"away": (AwayFact(day(3), day(3), "illness"),)},
        {"away": (AwayFact(day(3), day(3), "travel"),)},
        {"care": (care(3, "rest day", "rest"),)},
        {"checkins": (CheckInFact(day(3), reserve=6),)},
        {"checkins": (CheckInFact(day(4), sting=0),)},
    ],
)
def test_a_day_known_to_be_without_load_is_nought(fields: dict[str, Any]) -> None:
    assert made(**fields).course.load_done_slu[0, 3] == 0


@pytest.mark.parametrize("said", [{"note": "late"}, {"red_flags": ("pus",)}, {"agent_used": False}, {}])
def test_a_check_in_that_says_nothing_of_the_skin_is_no_answer(said: dict[str, Any]) -> None:
    course = made(checkins=(CheckInFact(day(3), **said),)).course
    assert not course.answered[0, 3] and np.isnan(course.load_done_slu[0, 3])
    assert made(checkins=(CheckInFact(day(3), sting=2, **said),)).course.answered[0, 3]


@pytest.mark.parametrize(
    "fields",
    [
        {"away": (AwayFact(day(3), day(3), "water"),)},
        {"care": (care(3, "rest day", "rest", "planned"),)},
        {"checkins": (CheckInFact(day(4)),), "sessions": (hour(3, True),)},
        {"checkins": (CheckInFact(day(2)),)},
    ],
)
def test_a_day_that_may_have_had_load_is_not_known(fields: dict[str, Any]) -> None:
    assert np.isnan(made(**fields).course.load_done_slu[0, 3])


def test_a_session_done_while_away_counts() -> None:
    fields = {"away": (AwayFact(day(2), day(4), "travel"),), "sessions": (hour(3),)}
    assert made(**fields).course.load_done_slu[0, 2:5].tolist() == [0, 1, 0]


def test_nothing_observed_stands_after_the_day() -> None:
    later = (CheckInFact(day(6), reserve=5), CheckInFact(day(5), reserve=6))
    course = made(checkins=later, sessions=(hour(6),), care=(care(6, "sand", "even"),)).course
    assert course.reserve_pt[0, 5] == 6 and np.isnan(course.reserve_pt[0, 6:]).all()
    assert np.isnan(course.load_done_slu[0, 6:]).all() and np.isnan(course.filed_done[0, 6:]).all()


def test_between_planned_sessions_ahead_lies_rest_and_after_the_last_nothing_known() -> None:
    course = made(sessions=(hour(6, True), hour(9, True))).course
    np.testing.assert_array_equal(course.load_plan_slu[0, 6:12], [1, 0, 0, 1, np.nan, np.nan])


def test_event_days_are_not_rest() -> None:
    event = EntryFact("e1", "E", "trip", day(8), day(9), "UTC")
    fields = {"sessions": (hour(6, True), hour(11, True)), "away": (AwayFact(day(7), day(9), "travel"),)}
    plan = made(entries=(event,), **fields).course.load_plan_slu
    np.testing.assert_array_equal(plan[0, 6:12], [1, 0, np.nan, np.nan, 0, 1])


@pytest.mark.parametrize(
    ("answers", "limited"),
    [([True, None], 1), ([False, True], 1), ([False, False], 0), ([False, None], np.nan)],
)
def test_skin_limited_the_day_if_it_limited_any_session(answers: list[bool | None], limited: float) -> None:
    rows = tuple(hour(3, ordinal=n + 1, skin_limited=answer) for n, answer in enumerate(answers))
    np.testing.assert_equal(made(sessions=rows).course.limited[0, 3], limited)


@pytest.mark.parametrize(
    ("changes", "dose"),
    [
        ({"strength": "weak", "uses": 2}, 0.5),
        ({"strength": "medium", "uses": 2}, 0.75),
        ({"strength": "strong", "uses": 2}, 1.0),
        ({"strength": "strong", "uses": 6}, 1.0),
        ({"strength": "strong"}, 0.5),
        ({}, 0.375),
        ({"strength": "strong", "uses": 0}, 0.0),
    ],
)
def test_a_dose_is_strength_times_uses_over_two(changes: dict[str, Any], dose: float) -> None:
    assert dose_frac(care(3, "aluminium salt", **changes)) == pytest.approx(dose)


def test_doses_go_by_ingredient_and_alcohol_is_none() -> None:
    rows = (
        care(3, "methenamine cream", strength="strong", uses=2),
        care(3, "alcohol base"),
        care(4, "aluminium salt"),
    )
    np.testing.assert_allclose(made(care=rows).course.dose_done[0, 3:5], [[1, 0, 0], [0, 0.375, 0]])


def test_care_is_known_where_a_row_or_the_next_morning_says_so() -> None:
    said = (CheckInFact(day(3), agent_used=False),)
    course = made(
        care=(care(4, "sand", "even"), care(1, "night tape", "cover", "skipped")), checkins=said
    ).course
    np.testing.assert_array_equal(course.filed_done[0, :6], [np.nan, 0, 0, np.nan, 1, np.nan])
    np.testing.assert_array_equal(course.dose_done[0, :6, 0], [np.nan, 0, 0, np.nan, 0, np.nan])


def test_yes_without_a_row_stands_for_the_plan_of_that_day() -> None:
    said = (CheckInFact(day(3), agent_used=True),)
    plan = (care(2, "aluminium salt", status="planned", strength="strong", uses=2),)
    assert made(checkins=said, care=plan).course.dose_done[0, 2].tolist() == [0, 1, 0]
    assert np.isnan(made(checkins=said).course.dose_done[0, 2]).all()


def test_the_plan_of_care_holds_to_the_end_where_it_reaches_ahead() -> None:
    plan = (care(3, "aluminium salt", status="planned"), care(7, "aluminium salt", status="planned"))
    known = ~np.isnan(made(care=plan).course.dose_plan[0, :, 1])
    assert known.tolist() == [False] * 3 + [True] * 11
    past = ~np.isnan(made(care=plan[:1]).course.dose_plan[0, :, 1])
    assert past.nonzero()[0].tolist() == [3]


def test_answers_by_twos_are_twice_as_wide() -> None:
    rows = (CheckInFact(day(3), reserve=4, rating_step=2), CheckInFact(day(4), reserve=5))
    assert made(checkins=rows).course.half_step_pt[0, 3:5].tolist() == [1.0, 0.5]


def test_event_days_ahead_have_the_venues_air() -> None:
    air = VenueAirFact(venue_dew_point_c=20.0, venue_temp_c=20.0)
    event = EntryFact("e1", "E", "competition", day(8), day(8), "UTC", air=air)
    course = made(entries=(event,)).course
    assert course.temp_c[0, 8] == 20 and course.rh_pct[0, 8] == pytest.approx(100)
    assert np.isnan(course.temp_c[0, [7, 9]]).all()


# Damage ---------------------------------------------------------------------------------------------------

SPLIT = EpisodeFact("d1", "R-ring-tip-crease", "split", day(1), depth="deep")


def test_an_episode_seen_sound_is_left_out_and_a_later_look_does_not_count() -> None:
    sound = EpisodeFact("d1", "L-index-tip", "cut", day(1), looks=(LookFact(day(3), "sound"),))
    later = EpisodeFact("d2", "L-index-tip", "cut", day(1), looks=(LookFact(day(6), "sound"),))
    assert made(episodes=(sound, later)).episode_ids == ("d2",)


def test_the_last_look_that_asked_counts() -> None:
    looks = (
        LookFact(day(2), "open", pain=5, opens_on_pull=True, balm_night=True),
        LookFact(day(3), "closing", pain=3, balm_night=False),
        LookFact(day(4), "closing"),
    )
    e = made(episodes=(EpisodeFact("d1", SPLIT.site, "split", day(-9), looks=looks),)).episodes
    assert (e.noticed[0], e.looked[0], e.stage_since[0], e.stage[0]) == (-9, 4, 3, 1)
    assert (e.pain[0], e.opens[0], e.balm_share[0], e.place[0]) == (3, 1, 0.5, 1)
    assert np.isnan(e.deep[0])


def test_nobody_looked() -> None:
    e = made(episodes=(SPLIT,)).episodes
    assert (e.stage[0], e.looked[0], e.deep[0]) == (-1, 1, 1) and np.isnan(e.pain[0])


@pytest.mark.parametrize(
    ("changes", "weight"),
    [
        ({}, 1.0),
        ({"needs_sites": ("R-ring-tip-crease",)}, 1.0),
        ({"needs_sites": ("R-ring-tip-crease",), "styles": ("sloper",)}, 1.0),
        ({"needs_sites": ("L-index-tip",)}, 0.4),  # another finger, but the holds that this damage hurts
        ({"needs_sites": ("L-index-base",)}, 0.1),  # neither the finger nor its holds
        ({"needs_sites": ("R-ring-base",)}, 0.4),  # the finger, but not its holds
        ({"needs_sites": ("R-ring-tip",)}, 1.0),  # the finger and its holds
        ({"styles": ("crimp", "sloper")}, 1.0),
        ({"styles": ("sloper",)}, 0.1),
        ({"needs_sites": ("L-index-tip",), "styles": ("sloper",)}, 0.1),
        ({"needs_sites": ("R-ring-base",), "styles": ("sloper",)}, 0.4),
        ({"styles": ("boulder",)}, 1.0),  # no kind of hold that we know: all of them
    ],
)
def test_damage_matters_by_the_sites_and_holds_of_the_event(changes: dict[str, Any], weight: float) -> None:
    event = EntryFact("e1", "E", "competition", day(8), day(9), "UTC", **changes)
    targets = made(episodes=(SPLIT,), entries=(event,)).targets
    assert targets.weight.tolist() == [[pytest.approx(weight)]]
    assert (targets.first[0], targets.last[0], targets.trip[0]) == (8, 9, False)


CLOSED = LookFact(day(4), "rimmed", pain=1, opens_on_pull=False)
TRIED = CareFact(day(4), "done", "try", "taped try", sites=(SPLIT.site,))


def tried(looks: tuple[LookFact, ...], care: tuple[CareFact, ...] = (TRIED,), **fields: Any) -> bool:
    return bool(made(episodes=(replace(SPLIT, looks=looks),), care=care, **fields).episodes.tried[0])


def test_a_taped_try_counts_with_a_look_that_found_it_closed() -> None:
    said = [hour(4, skin_limited=answer) for answer in (False, None, True)]
    assert tried((CLOSED,)) and [tried((CLOSED,), sessions=(one,)) for one in said] == [True, True, False]
    assert tried((replace(CLOSED, day=day(5)),)) and not tried((replace(CLOSED, day=day(3)),))
    later = LookFact(day(5), "open", pain=4, opens_on_pull=True)
    assert not tried((CLOSED, later)) and not tried((replace(CLOSED, pain=3),))


@pytest.mark.parametrize(
    "changes",
    [{"status": "planned"}, {"reaction": "stopped"}, {"sites": ("L-index-tip",)}, {"form": "session tape"}],
)
def test_what_was_no_good_taped_try_of_that_finger_does_not_count(changes: dict[str, Any]) -> None:
    assert not tried((CLOSED,), (replace(TRIED, **changes),))


def test_closed_some_time_between_two_looks() -> None:
    looks = (LookFact(day(2), "open"), LookFact(day(4), "rimmed"), LookFact(day(5), "thinned"))
    e = made(episodes=(replace(SPLIT, looks=looks),)).episodes
    assert (e.shut_after[0], e.shut_by[0], e.stage_since[0], e.looked[0]) == (2, 4, 5, 5)
    opened = LookFact(day(4), "rimmed", opens_on_pull=True)
    e = made(episodes=(replace(SPLIT, looks=(looks[0], opened, looks[2])),)).episodes
    assert (e.shut_after[0], e.shut_by[0]) == (4, 5)


def test_pink_tips_are_one_episode_that_matters_by_the_worst_of_them() -> None:
    marks = (("L-index-tip", "pink"), ("R-middle-tip", "pink"))
    event = EntryFact("e1", "E", "competition", day(8), day(9), "UTC", needs_sites=("R-middle-tip",))
    found = made(checkins=(CheckInFact(day(4), marks=marks),), entries=(event,))
    e = found.episodes
    assert (KINDS[e.kind[0]], PLACES[e.place[0]], e.noticed[0], e.stage[0]) == ("pink", "pad", 4, -1)
    assert found.episode_ids == ("*pink",) and found.targets.weight.tolist() == [[1.0]]
    assert made(checkins=(CheckInFact(day(-1), marks=marks),)).episode_ids == ()


TRIP = EntryFact("e1", "E", "trip", day(8), day(10), "UTC", surface="sharp rock")


def test_a_trip_without_a_plan_stands_for_days_on_its_rock() -> None:
    course = made(entries=(TRIP,)).course
    assert np.isnan(course.load_plan_slu).all() and np.isnan(course.load_trip_slu[0, :8]).all()
    assert course.load_trip_slu[0, 8:11] == pytest.approx(3.0 * 1.9) and np.isnan(course.load_trip_slu[0, 11:]).all()


def test_a_trip_with_a_plan_is_planned_whole_and_on_its_rock() -> None:
    hours = (hour(8, True, surface=None), hour(10, True, surface="plastic"))
    course = made(entries=(TRIP,), sessions=hours).course
    assert course.load_plan_slu[0, 8:11] == pytest.approx([1.9, 0, 1]) and np.isnan(course.load_trip_slu).all()


def test_another_athletes_damage_does_not_matter() -> None:
    event = EntryFact("e1", "E", "trip", day(4), day(9), "UTC")
    pair = [AthleteFacts("a1", 20, "UTC", episodes=(SPLIT,)), AthleteFacts("a2", 20, "UTC", entries=(event,))]
    found = arrays(pair, AS_OF, past_days=PAST, ahead_days=8)
    assert found.targets.weight.tolist() == [[0.0]] and found.targets.athlete.tolist() == [1]
    assert found.targets.first[0] == PAST  # an event under way is judged from today on


def test_no_athlete_no_entry_no_damage_still_has_its_shapes() -> None:
    found = arrays([], AS_OF)
    assert found.course.reserve_pt.shape == (0, 165) and found.targets.weight.shape == (0, 0)
