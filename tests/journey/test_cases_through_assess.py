"""Four invented cases as bundles, through the command line: what must be decided, and what must not.

Each is told bare, with sixty ordinary days before it, and with a plan that contradicts; the decision is the same.
The decisions are expert judgement on working ranges that are common practice without a source.
"""

from __future__ import annotations

import pytest

from tests.journey.cases import told
from tests.journey.cases.asked import Answer, answers, case_text

Cases = dict[str, Answer]
in_each_telling = pytest.mark.parametrize("telling", told.TELLINGS)


@pytest.fixture(scope="module")
def cases() -> Cases:
    return {key: answer for day in told.CASES for key, answer in answers(case_text(day)).items()}


def test_every_readiness_shows_its_range(cases: Cases) -> None:
    ranges = [one["readiness"] for answer in cases.values() for one in answer.entries]
    assert len(ranges) == 3 * (1 + 1 + 2 + 2)
    assert all(0 <= one["low"] < one["p"] < one["high"] <= 1 for one in ranges)


@in_each_telling
def test_deep_split_is_doubtful_and_possible_if_protected(cases: Cases, telling: str) -> None:
    """Day 13 of 14-28 until as before, past the 4-7 until usable taped: a protected start, nothing more."""
    found = cases[f"adaeze-{telling}"]
    assert found.first["level"] in ("act", "tight")
    assert "protect" in found.fallbacks()
    reason = found.first["reasons"][0]
    assert (reason["code"], reason["site"]) == ("split", told.CREASE)
    assert reason["numbers"]["p_sound"] < 0.2 < 0.5 < reason["numbers"]["p_usable"]
    assert reason["numbers"]["sound_q50_on"] > "2027-03-20"


@in_each_telling
def test_deep_split_has_both_looks_a_taped_try_and_the_closing_hour(cases: Cases, telling: str) -> None:
    found = cases[f"adaeze-{telling}"]
    assert found.days("look") == ["2027-03-15", "2027-03-17"]
    assert [(one["latest"], one["if"]) for one in found.deadlines("taped-try")] == [("2027-03-17", "look:2027-03-17")]
    assert [(one["latest"], one["if"]) for one in found.deadlines("entry")] == [("2027-03-18", "taped-try:2027-03-17")]
    assert found.fallbacks()["stand-in"]["by"] == "2027-03-18T18:00:00+01:00"
    test = found.limits()["2027-03-17"]
    assert (test["hard_tries"], test["if"]) == (6, "look:2027-03-17")


@in_each_telling
def test_deep_split_is_covered_and_nothing_is_filed_while_it_opens(cases: Cases, telling: str) -> None:
    found = cases[f"adaeze-{telling}"]
    assert found.today["may_climb"] == "not-those-holds"
    assert {"crimp"} <= set(found.today["avoid"]) and found.today["sites"] == [told.CREASE]
    today = {(one["part"], one["form"]) for one in found.steps() if one["date"] == "2027-03-11"}
    assert {("day", "session tape"), ("night", "moist cover"), ("day", "rest site")} <= today
    assert not found.verbs & {"even", "mend"}


def test_what_the_plan_would_do_to_a_deep_split_is_refused(cases: Cases) -> None:
    found = cases["adaeze-contrary"]
    for form, day in (("sand", "2027-03-12"), ("glue", "2027-03-13"), ("thin rim", "2027-03-14")):
        assert (day, "open-skin", True) in found.refused(form)


@in_each_telling
def test_a_first_use_three_days_before_a_trip_is_refused_with_alternatives(cases: Cases, telling: str) -> None:
    """Effect, glassiness and splits cannot be judged in three days; a third keep an effect for 1-3 weeks."""
    found = cases[f"tomasz-{telling}"]
    refused = found.refused("methenamine cream")
    assert {("2027-04-28", "timing", False), ("2027-04-30", "timing", False)} <= set(refused)
    rows = [one for one in found.athlete["refused"] if one["verb"] == "dry"]
    assert all({"fan", "cold rock", "shade"} <= set(one["instead"]) for one in rows)
    assert found.steps("methenamine cream", "methenamine spray") == []
    assert "agent" in found.codes()
    first = [one for one in found.deadlines("agent-first-use") if one["form"] == "methenamine cream"]
    assert [(one["latest"], one["state"]) for one in first] == [("2027-04-17", "missed")]


@in_each_telling
def test_pink_tips_rest_then_wood_then_a_short_test_that_waits_for_the_look(cases: Cases, telling: str) -> None:
    found = cases[f"mateo-{telling}"]
    week = found.limits()
    assert [week[day]["hard_tries"] for day in ("2027-04-05", "2027-04-06", "2027-04-09")] == [0, 0, 0]
    assert (week["2027-04-07"]["surface"], week["2027-04-07"].get("if")) == ("wood", None)
    test = week["2027-04-08"]
    assert (test["minutes"], test["hard_tries"], test["surface"]) == (30, 10, "plastic")
    assert test["if"] == "look:2027-04-07"
    assert set(found.days("look", entry=1)) == {"2027-04-07"}


@in_each_telling
def test_the_second_event_is_likely_and_not_yet_settled(cases: Cases, telling: str) -> None:
    """Pink is as before after 2-5 days and the event is day 6: within reach, if the rest is kept."""
    found = cases[f"mateo-{telling}"]
    assert found.today["may_climb"] == "off" and set(found.today["sites"]) == set(told.PINK_TIPS)
    second = found.entries[1]
    assert second["level"] in ("tight", "act") and second["readiness"]["p"] > 0.5
    assert {"pink", "clash"} <= set(found.codes(entry=1))
    closes = found.deadlines("entry", entry=1)
    assert [(one["latest"], one["if"]) for one in closes] == [("2027-04-08", "look:2027-04-07")]
    assert found.days("rest-start", entry=1) == ["2027-04-05"]


def test_the_normal_week_between_two_events_is_not_copied(cases: Cases) -> None:
    """It planned two hours of fresh plastic every day, and sanding on pink."""
    found = cases["mateo-contrary"]
    assert all((one["minutes"] or 0) <= 30 for one in found.limits().values())
    assert ("2027-04-05", "open-skin", True) in found.refused("sand")
    assert ("2027-04-09", "timing", False) in found.refused("level callus")
    assert "load" in found.codes(entry=1)


@in_each_telling
def test_flapper_names_its_holds_and_is_tried_taped_on_the_third_day(cases: Cases, telling: str) -> None:
    found = cases[f"kwame-{telling}"]
    assert found.today["may_climb"] == "not-those-holds"
    assert set(found.today["avoid"]) == {"jug", "swing", "sloper"}
    assert found.first["level"] in ("act", "tight")
    assert (found.codes()[0], found.first["reasons"][0]["site"]) == ("tear", told.FLAPPER)
    assert found.days("taped-try") == ["2027-08-19"]
    test = found.limits()["2027-08-19"]
    assert (test["hard_tries"], test["if"]) == (5, "look:2027-08-19")


@in_each_telling
def test_flapper_is_kept_moist_for_two_days(cases: Cases, telling: str) -> None:
    found = cases[f"kwame-{telling}"]
    moist = {one["date"] for one in found.steps("moist cover") if one["part"] == "day"}
    assert {"2027-08-16", "2027-08-17", "2027-08-18"} <= moist
    assert not found.verbs & {"even", "mend"}


@in_each_telling
def test_flapper_is_not_a_split_of_the_index_tip(cases: Cases, telling: str) -> None:
    """1-3 days until usable taped and 4-8 until as before, against 4-8 and 7-21 of a deep split."""
    flapper, split = cases[f"kwame-{telling}"], cases[f"kwame-split-{telling}"]
    assert not set(flapper.today["avoid"]) & {"crimp"} and "crimp" in split.today["avoid"]
    assert flapper.first["readiness"]["p"] > 2 * split.first["readiness"]["p"]
    usable = [one.first["reasons"][0]["numbers"]["p_usable"] for one in (flapper, split)]
    assert usable[0] > 0.9 > usable[1]
