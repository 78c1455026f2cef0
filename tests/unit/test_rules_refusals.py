"""Planned care that is refused: class, hard or not, what instead; and the last day on which it is still
allowed.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from coaching.rules.conclusions import AthleteConclusion
from coaching.rules.facts import (
    AthleteFacts,
    CareFact,
    CheckInFact,
    LookFact,
    SessionFact,
    SightingFact,
    SignoffFact,
)
from tests import cast
from tests.cast import day

EVENT = day("7-10")
AS_OF = day("5-31")


def conclude(*care: CareFact, as_of: date = AS_OF, **changes: Any) -> AthleteConclusion:
    facts: AthleteFacts = cast.athlete(as_of, care=care, entries=(cast.entry(EVENT),))
    facts = replace(facts, **changes)
    figures = cast.numbers(*(cast.chance(0.7, event_id=one.event_id) for one in facts.entries))
    return cast.concluded(facts, figures, as_of)


def classes(found: AthleteConclusion) -> set[tuple[str, bool]]:
    return {(one.class_, one.hard) for one in found.refused}


def agent(on: date, form: str = "methenamine spray", *sites: str, **changes: Any) -> CareFact:
    return cast.planned(on, "dry", form, *sites, part="night", **changes)


@pytest.mark.parametrize(
    ("form", "days_before", "refused"),
    [
        ("methenamine cream", 14, False),
        ("methenamine cream", 13, True),
        ("aluminium salt", 10, False),
        ("aluminium salt", 9, True),
        ("alcohol base", 0, False),
    ],
)
def test_first_use_has_a_last_day(form: str, days_before: int, refused: bool) -> None:
    row = cast.planned(EVENT - timedelta(days=days_before), "dry", form)
    assert classes(conclude(row)) == ({("timing", False)} if refused else set())


@pytest.mark.parametrize(
    ("form", "days_before", "refused"),
    [
        ("methenamine spray", 3, False),
        ("methenamine spray", 2, True),
        ("aluminium salt", 1, False),
        ("aluminium salt", 0, True),
        ("iontophoresis", 2, False),
        ("iontophoresis", 1, True),
    ],
)
def test_an_agent_in_use_has_a_last_day(form: str, days_before: int, refused: bool) -> None:
    used = cast.done(day("5-20"), "dry", form)
    found = conclude(used, cast.planned(EVENT - timedelta(days=days_before), "dry", form))
    assert classes(found) == ({("timing", False)} if refused else set())


def test_an_agent_in_use_may_go_on_during_a_trip_but_not_begin() -> None:
    trip = (cast.entry(EVENT, EVENT + timedelta(days=9), kind="trip"),)
    used, row = cast.done(day("5-20"), "dry", "methenamine spray"), agent(EVENT + timedelta(days=2))
    assert classes(conclude(used, row, entries=trip)) == set()
    assert classes(conclude(row, entries=trip)) == {("timing", False)}


def test_a_course_begun_in_time_is_no_first_use_later() -> None:
    assert classes(conclude(agent(day("6-20")), agent(day("7-4")))) == set()
    assert len(conclude(agent(day("6-30")), agent(day("7-4"))).refused) == 2


def test_a_use_after_the_event_is_free() -> None:
    assert classes(conclude(agent(EVENT + timedelta(days=1)))) == set()


@pytest.mark.parametrize("sensitivity", ["formaldehyde", "methenamine"])
def test_allergy_to_what_it_releases_is_a_hard_stop(sensitivity: str) -> None:
    found = conclude(agent(day("6-7")), sensitivities=frozenset({sensitivity}))
    assert classes(found) == {("allergy", True)}
    assert not [one for one in found.steps if one.verb == "dry"]


def test_a_sensitised_adult_is_offered_the_agents_of_another_kind() -> None:
    found = conclude(agent(day("6-7")), sensitivities=frozenset({"formaldehyde"}))
    assert {"aluminium salt", "iontophoresis"} <= set(found.refused[0].instead)
    late = conclude(agent(day("7-5")), sensitivities=frozenset({"formaldehyde"}))
    assert not {"aluminium salt", "iontophoresis"}.intersection(late.refused[0].instead)


@pytest.mark.parametrize(
    ("sensitivity", "verb", "form"),
    [
        ("aluminium", "dry", "aluminium salt"),
        ("adhesive", "cover", "session tape"),
        ("latex", "cover", "night tape"),
        ("acrylate", "mend", "glue"),
    ],
)
def test_other_allergies_stop_their_own_forms(sensitivity: str, verb: str, form: str) -> None:
    row = cast.planned(day("6-7"), verb, form)
    assert classes(conclude(row, sensitivities=frozenset({sensitivity}))) == {("allergy", True)}
    assert classes(conclude(row)) == set()


def test_a_form_that_was_stopped_by_a_reaction_stays_shut_until_a_doctor_looked() -> None:
    stopped = cast.done(day("5-20"), "dry", "aluminium salt", reaction="stopped")
    row = agent(day("6-7"), "aluminium salt")
    assert classes(conclude(stopped, row)) == {("allergy", True)}
    looked = (SightingFact(day("5-22"), "medical"),)
    assert classes(conclude(stopped, row, sightings=looked)) == set()


def test_a_sensitised_minor_is_refused_twice_and_offered_what_is_safe() -> None:
    found = conclude(
        agent(day("6-7"), "methenamine cream"),
        age_years=16,
        skin_kind="damp",
        sensitivities=frozenset({"formaldehyde"}),
    )
    assert classes(found) == {("allergy", True), ("age", True)}
    assert "fan" in found.refused[0].instead
    assert not {"aluminium salt", "methenamine spray"}.intersection(found.refused[0].instead)


SIGNED = tuple(SignoffFact("aluminium salt", by, day("5-25"), day("7-31")) for by in ("guardian", "medical"))


@pytest.mark.parametrize(
    ("age", "signoffs", "refused"),
    [
        (11, SIGNED, True),
        (12, SIGNED, False),
        (17, SIGNED, False),
        (17, SIGNED[:1], True),
        (17, SIGNED[1:], True),
        (18, (), False),
        (None, (), True),
        (17, tuple(replace(one, until=day("6-6")) for one in SIGNED), True),
        (17, tuple(replace(one, given_on=day("6-1")) for one in SIGNED), True),
        (17, tuple(replace(one, form="iontophoresis") for one in SIGNED), True),
    ],
)
def test_minors_need_both_sign_offs_in_force_and_children_never_get_an_agent(
    age: int | None, signoffs: tuple[SignoffFact, ...], refused: bool
) -> None:
    found = conclude(agent(day("6-7"), "aluminium salt"), age_years=age, signoffs=signoffs)
    assert classes(found) == ({("age", True)} if refused else set())


@pytest.mark.parametrize("condition", ["pregnancy", "implant", "metal", "heart", "epilepsy", "numb-skin"])
def test_conditions_stop_the_current(condition: str) -> None:
    found = conclude(agent(day("6-1"), "iontophoresis"), contraindications=frozenset({condition}))
    assert classes(found) == {("medical", True)}


def test_a_condition_told_to_the_doctor_alone_waits_for_the_doctor() -> None:
    row, other = agent(day("6-7"), "aluminium salt"), frozenset({"other"})
    assert classes(conclude(row, contraindications=other)) == {("medical", True)}
    assert classes(conclude(row, contraindications=other, signoffs=SIGNED[1:])) == set()


def test_dry_skin_is_refused_every_agent_and_offered_cream() -> None:
    found = conclude(
        cast.done(day("5-28"), "dry", "methenamine cream"),
        agent(day("6-7"), "methenamine cream"),
        skin_kind="dry",
    )
    assert classes(found) == {("skin-kind", False)}
    assert "humectant cream" in found.refused[0].instead


def test_dry_skin_near_the_event_is_late_as_well() -> None:
    used = cast.done(day("5-28"), "dry", "methenamine cream")
    assert classes(conclude(used, agent(day("6-26")), skin_kind="dry")) == {("skin-kind", False)}
    assert ("timing", False) in classes(conclude(used, agent(day("6-27")), skin_kind="dry"))


def test_glassy_skin_gets_no_more_agent() -> None:
    glassy = CheckInFact(AS_OF, marks=(("L-index-tip", "glassy"),))
    found = conclude(cast.done(day("5-28"), "dry", "methenamine spray"), agent(AS_OF), checkins=(glassy,))
    assert classes(found) == {("skin-kind", False)}


def test_agents_stay_out_of_creases() -> None:
    assert classes(conclude(agent(day("6-7"), "methenamine spray", "L-index-tip-crease"))) == {
        ("site", False)
    }
    assert classes(conclude(agent(day("6-7"), "methenamine spray", "L-index-tip"))) == set()


def test_two_agents_clash_on_one_day_and_in_the_last_week() -> None:
    used = (
        cast.done(day("5-28"), "dry", "methenamine spray"),
        cast.done(day("5-28"), "dry", "aluminium salt"),
    )
    same_day = (agent(day("6-7")), agent(day("6-7"), "aluminium salt"))
    assert classes(conclude(*used, *same_day)) == {("clash", False)}
    last_week = (agent(day("7-1")), agent(day("7-3"), "aluminium salt"))
    assert {one.form for one in conclude(*used, *last_week).refused} == {"aluminium salt"}
    before = (agent(day("6-18")), agent(day("7-2"), "aluminium salt"))
    assert classes(conclude(*used, *before)) == set()


@pytest.mark.parametrize("stage", ["open", "closing", "rimmed", "thinned"])
def test_nothing_is_filed_on_damage_of_the_same_finger(stage: str) -> None:
    hurt = cast.split(day("5-25"), "L-index-tip", LookFact(AS_OF, stage, pain=0))
    found = conclude(cast.planned(AS_OF, "even", "sand", "L-index-tip"), episodes=(hurt,))
    assert classes(found) == {("open-skin", True)}
    other = conclude(cast.planned(AS_OF, "even", "sand", "R-ring-base"), episodes=(hurt,))
    assert classes(other) == set()


def test_sound_damage_may_be_filed_again() -> None:
    hurt = cast.split(day("5-10"), "L-index-tip", LookFact(AS_OF, "sound", pain=0))
    assert classes(conclude(cast.planned(AS_OF, "even", "sand", "L-index-tip"), episodes=(hurt,))) == set()


@pytest.mark.parametrize("sites", [(), ("L-index-tip",)])
def test_pink_is_never_filed_where_the_site_is_said_or_not(sites: tuple[str, ...]) -> None:
    pink = CheckInFact(AS_OF, sting=5, marks=(("L-index-tip", "pink"),))
    found = conclude(cast.planned(AS_OF, "even", "level callus", *sites), checkins=(pink,))
    assert classes(found) == {("open-skin", True)}


def test_filing_waits_for_dry_skin() -> None:
    cream = cast.planned(AS_OF, "soften", "water-based cream", part="evening")
    assert classes(conclude(cream, cast.planned(AS_OF, "even", "sand", part="evening"))) == {("clash", False)}
    assert classes(conclude(cream, cast.planned(AS_OF, "even", "sand", part="day"))) == set()


@pytest.mark.parametrize(("days_before", "refused"), [(2, False), (1, True)])
def test_filing_has_a_last_day(days_before: int, refused: bool) -> None:
    found = conclude(cast.planned(EVENT - timedelta(days=days_before), "even", "sand"))
    assert classes(found) == ({("timing", False)} if refused else set())


@pytest.mark.parametrize(("stage", "refused"), [("open", True), ("closing", True), ("rimmed", False)])
def test_edges_are_cut_only_once_a_look_found_it_closed(stage: str, refused: bool) -> None:
    hurt = cast.split(day("5-25"), "L-index-tip", LookFact(AS_OF, stage, pain=0))
    found = conclude(cast.planned(AS_OF, "mend", "clip edges", "L-index-tip"), episodes=(hurt,))
    assert classes(found) == ({("open-skin", True)} if refused else set())


def test_glue_is_for_shallow_clean_damage_off_the_creases() -> None:
    glue = cast.planned(AS_OF, "mend", "glue", "L-index-tip")
    shallow = cast.split(AS_OF, "L-index-tip", depth="shallow")
    assert classes(conclude(glue, episodes=(shallow,))) == set()
    assert classes(conclude(glue, episodes=(replace(shallow, depth="deep"),))) == {("open-skin", True)}
    unsure = replace(shallow, worries=("tetanus-unknown",))
    assert classes(conclude(glue, episodes=(unsure,))) == {("medical", True)}
    crease = cast.planned(AS_OF, "mend", "glue", "L-index-tip-crease")
    assert classes(conclude(crease)) == {("site", False)}


def test_night_forms_stay_in_the_night() -> None:
    used = cast.done(day("5-28"), "dry", "methenamine cream")
    day_coat = cast.planned(AS_OF, "dry", "methenamine cream", part="day")
    assert classes(conclude(used, day_coat)) == {("timing", False)}


def test_grease_waits_until_after_climbing() -> None:
    climbing = (SessionFact(AS_OF, planned=True, minutes=90),)
    balm = cast.planned(AS_OF, "soften", "wax balm", part="day")
    assert classes(conclude(balm, sessions=climbing)) == {("timing", False)}
    assert classes(conclude(balm)) == set()


def test_a_form_nobody_wrote_a_rule_for_is_no_step() -> None:
    found = conclude(cast.planned(AS_OF, "soften", "goose fat"))
    assert [(one.rule, one.hard) for one in found.refused] == [("rulebook.unknown-form", False)]
    assert found.steps == ()


def test_yesterdays_plan_is_not_judged_again() -> None:
    assert conclude(agent(AS_OF - timedelta(days=1)), as_of=AS_OF).refused == ()


def test_toughening_needs_sides_and_for_minors_both_signatures() -> None:
    row = cast.planned(AS_OF, "toughen", "scrape finger sides", "L-index-little-side", part="evening")
    assert classes(conclude(row)) == set()
    assert classes(conclude(replace(row, sites=("L-index-tip",)))) == {("site", False)}
    assert classes(conclude(row, age_years=17)) == {("age", True)}
