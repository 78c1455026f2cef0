"""Four invented athletes, decided by the rules alone from facts and plausible numbers. Decisions: expert
judgement.
"""

from __future__ import annotations

from datetime import date

import pytest

from coaching.rules.conclusions import AthleteConclusion
from coaching.rules.facts import CheckInFact, EpisodeFact, LookFact
from coaching.rules.numbers import EpisodeNumbers, Quartet
from tests import cast
from tests.cast import day

CREASE = "R-middle-tip-crease"


@pytest.fixture
def deep_split() -> AthleteConclusion:
    """A deep crease split on day 4 that opens when straightened, nine days before a final."""
    as_of = day("3-11")
    look = LookFact(as_of, "open", pain=5, opens_on_pull=True)
    facts = cast.athlete(
        as_of,
        age_years=22,
        episodes=(cast.split(day("3-7"), CREASE, look, length_mm=4, worries=()),),
        entries=(cast.entry(day("3-20"), entry_deadline=cast.at("3-18", 18)),),
        care=(cast.planned(day("3-12"), "even", "sand", CREASE),),
    )
    course = cast.healing(
        Quartet(1.0, 3.0, 4.0, 5.5),
        Quartet(2.0, 5.0, 7.0, 9.0),
        Quartet(10.0, 15.0, 19.0, 24.0),
        p_usable_by_day={day("3-20"): 0.6},
        p_sound_by_day={day("3-20"): 0.08},
    )
    chance = cast.chance(0.3, p_protected=0.6, episode_parts={"d1": 0.4})
    return cast.concluded(facts, cast.numbers(chance, episodes={"d1": course}), as_of)


def test_deep_split_is_possible_if_protected_and_never_promised(deep_split: AthleteConclusion) -> None:
    found = cast.first(deep_split)
    assert found.level == "act"
    assert found.reasons[0].code == "split"
    assert found.reasons[0].site == CREASE


def test_deep_split_has_both_looks_the_taped_try_and_the_closing_day(deep_split: AthleteConclusion) -> None:
    found = cast.first(deep_split)
    assert [one.latest for one in cast.of_kind(found, "look")] == [day("3-15"), day("3-17")]
    assert [one.latest for one in cast.of_kind(found, "taped-try")] == [day("3-17")]
    assert [(one.latest, one.at) for one in cast.of_kind(found, "entry")] == [
        (day("3-18"), "2027-03-18T18:00:00+01:00")
    ]


def test_deep_split_keeps_off_crimps_and_nothing_is_filed(deep_split: AthleteConclusion) -> None:
    assert deep_split.today.may_climb == "not-those-holds"
    assert "crimp" in deep_split.today.avoid
    assert deep_split.today.sites == (CREASE,)
    assert not [one for one in deep_split.steps if one.verb in ("even", "mend")]
    assert [(one.class_, one.hard) for one in deep_split.refused] == [("open-skin", True)]


def test_deep_split_is_taped_by_day_and_moist_at_night_from_today(deep_split: AthleteConclusion) -> None:
    today = {(one.part, one.form) for one in deep_split.steps if one.date == day("3-11")}
    assert {("day", "session tape"), ("night", "moist cover")} <= today
    tries = [one for one in deep_split.limits if one.date == day("3-17")]
    assert (tries[0].hard_tries, tries[0].if_) == (6, "look:2027-03-17")


def test_deep_split_leaves_a_stand_in_until_entries_close(deep_split: AthleteConclusion) -> None:
    found = {one.code: one.cost for one in cast.first(deep_split).fallbacks}
    assert {"protect", "stand-in", "withdraw"} <= set(found)
    assert found["stand-in"]["by"] == "2027-03-18T18:00:00+01:00"


@pytest.fixture
def late_agent() -> AthleteConclusion:
    """A first use of an agent asked for three days before a granite trip."""
    as_of = day("4-28")
    nights = [cast.planned(one, "dry", "methenamine cream", part="night") for one in cast.days(as_of, 3)]
    trip = cast.entry(day("5-1"), day("5-7"), kind="trip", surface="sharp rock", rock="granite")
    facts = cast.athlete(as_of, care=tuple(nights), entries=(trip,))
    return cast.concluded(facts, cast.numbers(cast.chance(0.7, good_days=(7, 4.0, 3.0, 5.0))), as_of)


def test_late_agent_is_refused_with_something_instead(late_agent: AthleteConclusion) -> None:
    assert len(late_agent.refused) == 3
    assert {(one.class_, one.hard) for one in late_agent.refused} == {("timing", False)}
    assert {"fan", "longer rests", "cold rock", "shade"} <= set(late_agent.refused[0].instead)
    assert not [one for one in late_agent.steps if one.verb == "dry"]


def test_late_agent_shows_that_its_last_first_use_has_passed(late_agent: AthleteConclusion) -> None:
    found = cast.of_kind(cast.first(late_agent), "agent-first-use")
    assert [(one.latest, one.state) for one in found] == [(day("4-17"), "missed")]
    assert "agent" in cast.codes(cast.first(late_agent))


@pytest.fixture
def two_events() -> AthleteConclusion:
    """Three pink tips on the Sunday evening of one event, the next one six days later."""
    as_of = day("4-4")
    tips = ("L-index-tip", "L-middle-tip", "R-middle-tip")
    worn = CheckInFact(as_of, reserve=3, sting=6, marks=tuple((site, "pink") for site in tips))
    later = cast.entry(day("4-10"), event_id="e2", entry_deadline=cast.at("4-8", 18), surface="plastic")
    facts = cast.athlete(as_of, checkins=(worn,), entries=(cast.entry(day("4-3"), as_of), later))
    figures = cast.numbers(cast.chance(0.5), cast.chance(0.55, event_id="e2", p_rest=0.65))
    return cast.concluded(facts, figures, as_of)


def test_two_events_go_two_days_off_then_wood_then_a_short_test(two_events: AthleteConclusion) -> None:
    week = {one.date: one for one in two_events.limits}
    assert [week[one].hard_tries for one in cast.days(day("4-5"), 2)] == [0, 0]
    assert week[day("4-7")].surface == "wood"
    test = week[day("4-8")]
    assert (test.minutes, test.hard_tries, test.if_) == (30, 10, "look:2027-04-07")
    assert (week[day("4-9")].surface, week[day("4-9")].minutes) == (None, 0)


def test_two_events_hang_on_the_look_of_wednesday(two_events: AthleteConclusion) -> None:
    found = two_events.entries[1]
    assert two_events.today.may_climb == "off"
    assert {one.latest for one in cast.of_kind(found, "look")} == {day("4-7")}
    assert found.level in ("tight", "act")
    assert {"pink", "clash"} <= set(cast.codes(found))


@pytest.fixture
def flapper() -> AthleteConclusion:
    """A ripped middle pad five days before an event, seen on the evening it happened."""
    as_of = day("8-16")
    ripped = EpisodeFact("d1", "R-ring-middle", "flapper", as_of, length_mm=12, width_mm=8)
    facts = cast.athlete(as_of, age_years=25, episodes=(ripped,), entries=(cast.entry(day("8-21")),))
    event: date = day("8-21")
    course = EpisodeNumbers(
        "d1", Quartet(1, 2, 3, 4), Quartet(1, 2, 3, 4), Quartet(4, 6, 7, 8), {event: 0.9}, {event: 0.2}
    )
    chance = cast.chance(0.6, low=0.4, p_protected=0.85, episode_parts={"d1": 0.2})
    return cast.concluded(facts, cast.numbers(chance, episodes={"d1": course}), as_of)


def test_flapper_names_the_holds_and_not_those_of_a_split_tip(flapper: AthleteConclusion) -> None:
    assert set(flapper.today.avoid) == {"jug", "swing", "sloper"}
    assert flapper.today.sites == ("R-ring-middle",)
    assert cast.first(flapper).reasons[0].code == "tear"


def test_flapper_is_kept_moist_for_two_days_then_tried_under_tape(flapper: AthleteConclusion) -> None:
    moist = {one.date for one in flapper.steps if one.form == "moist cover" and one.part == "day"}
    assert moist == set(cast.days(day("8-16"), 3))
    assert [one.latest for one in cast.of_kind(cast.first(flapper), "taped-try")] == [day("8-19")]
    tries = [one for one in flapper.limits if one.date == day("8-19")]
    assert (tries[0].hard_tries, tries[0].if_) == (5, "look:2027-08-19")
