"""Reasons: each code appears where its facts are, with a site or none, a date, and the worst first."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from typing import Any

import pytest

from coaching.rules.conclusions import EntryConclusion, Reason
from coaching.rules.facts import (
    AwayFact,
    CheckInFact,
    EpisodeFact,
    LookFact,
    SessionFact,
    SightingFact,
    VenueAirFact,
)
from coaching.rules.numbers import EntryNumbers
from tests import cast
from tests.cast import day

AS_OF, EVENT = day("5-10"), day("5-25")


def concluded(chance: EntryNumbers | None = None, **changes: Any) -> EntryConclusion:
    entries = (changes.pop("entry", cast.entry(EVENT)), *changes.pop("others", ()))
    figures = changes.pop("figures", {})
    chances = [chance or cast.chance(0.4, p_rest=0.4, p_protected=0.9)]
    chances += [cast.chance(0.6, event_id=one.event_id) for one in entries[1:]]
    facts = cast.athlete(AS_OF, entries=entries, **changes)
    found = cast.concluded(facts, cast.numbers(*chances, **figures), AS_OF)
    return next(one for one in found.entries if one.event_id == "e1")


def reason(found: EntryConclusion, code: str) -> Reason:
    return next(one for one in found.reasons if one.code == code)


def weighed(**parts: float) -> EntryNumbers:
    return cast.chance(0.4, p_rest=0.4, parts=parts)


def test_the_part_that_costs_most_comes_first() -> None:
    found = concluded(weighed(reserve=0.1, load=0.25, dampness=0.05))
    assert cast.codes(found)[:3] == ["load", "reserve", "dampness"]


def test_a_small_part_is_no_reason() -> None:
    assert "dampness" not in cast.codes(concluded(weighed(reserve=0.2, dampness=0.02)))


def test_an_open_split_comes_before_a_costlier_load() -> None:
    split = EpisodeFact("d1", "L-index-tip", "split", AS_OF, looks=(LookFact(AS_OF, "open"),))
    chance = cast.chance(0.3, p_rest=0.4, parts={"load": 0.3}, episode_parts={"d1": 0.1})
    assert cast.codes(concluded(chance, episodes=(split,)))[:2] == ["split", "load"]


@pytest.mark.parametrize("kind", ["flapper", "tear", "blister", "cut", "holed", "graze"])
def test_all_other_damage_is_a_tear(kind: str) -> None:
    found = concluded(episodes=(EpisodeFact("d1", "R-ring-base", kind, AS_OF),))
    assert reason(found, "tear").site == "R-ring-base"


def test_reserve_names_a_site_where_one_was_seen_and_says_so_where_not() -> None:
    assert reason(concluded(weighed(reserve=0.2)), "reserve").site == "site not known"
    ridged = CheckInFact(AS_OF, marks=(("R-ring-tip", "ridge"),))
    assert reason(concluded(weighed(reserve=0.2), checkins=(ridged,)), "reserve").site == "R-ring-tip"


@pytest.mark.parametrize("mark", ["glassy", "shedding"])
def test_marks_seen_within_three_days_are_reasons(mark: str) -> None:
    for days_ago, listed in ((3, True), (4, False)):
        row = CheckInFact(AS_OF - timedelta(days=days_ago), marks=(("L-index-tip", mark),))
        assert (mark in cast.codes(concluded(checkins=(row,)))) is listed


def test_hard_skin_without_a_mark_is_glassy_at_a_site_not_known() -> None:
    found = concluded(figures={"hardness_mean_pt": 8.0})
    assert reason(found, "glassy").site == "site not known"


def test_dampness_below_the_dry_mark_is_dryness() -> None:
    dry = concluded(weighed(dampness=0.2), figures={"dampness_mean_pt": 2.0})
    assert "dryness" in cast.codes(dry) and "dampness" not in cast.codes(dry)
    damp = concluded(weighed(dampness=0.2), figures={"dampness_mean_pt": 7.5})
    assert "dampness" in cast.codes(damp) and "dryness" not in cast.codes(damp)


def test_an_agent_on_dry_skin_is_a_reason_with_its_last_day() -> None:
    used = (cast.done(day("5-8"), "dry", "methenamine cream"),)
    found = reason(concluded(skin_kind="dry", care=used), "agent")
    assert (found.numbers["class"], found.date) == ("skin-kind", day("5-11"))


def test_toughening_is_a_reason_once_due() -> None:
    crack = cast.entry(day("5-22"), styles=("crack",))
    assert reason(concluded(entry=crack), "toughening").date == day("5-10")
    later = cast.entry(day("6-22"), styles=("crack",))
    assert "toughening" not in cast.codes(concluded(entry=later))


def test_rough_rock_planned_after_its_last_day_is_a_load_reason() -> None:
    rough = (SessionFact(day("5-23"), planned=True, minutes=60, surface="sharp rock"),)
    assert reason(concluded(sessions=rough), "load").numbers["rough_on"] == "2027-05-23"
    assert "load" not in cast.codes(concluded(sessions=(replace(rough[0], surface="wood"),)))


@pytest.mark.parametrize(("gap", "listed"), [(14, True), (13, False)])
def test_two_weeks_away_are_a_layoff_where_they_are_known(gap: int, listed: bool) -> None:
    last = (SessionFact(AS_OF - timedelta(days=gap), planned=False, minutes=60),)
    answers = (CheckInFact(AS_OF, sting=0),)
    assert ("layoff" in cast.codes(concluded(sessions=last, checkins=answers))) is listed


def test_a_layoff_counts_for_two_weeks_after_the_return() -> None:
    back = [SessionFact(day(one), planned=False, minutes=60) for one in ("4-10", "5-1", "5-8")]
    away = (AwayFact(day("4-11"), day("4-30"), "water"),)
    found = reason(concluded(sessions=tuple(back), away=away), "layoff")
    assert (found.numbers["days"], found.numbers["back_on"]) == (20, "2027-05-01")
    assert "layoff" not in cast.codes(concluded(sessions=tuple(back), checkins=()))


@pytest.mark.parametrize(("first", "listed"), [("6-1", True), ("6-2", False)])
def test_events_a_week_apart_clash(first: str, listed: bool) -> None:
    other = cast.entry(day(first), event_id="e2")
    assert ("clash" in cast.codes(concluded(others=(other,)))) is listed


def test_damper_air_is_a_reason_with_its_dew_points() -> None:
    humid = cast.entry(day("6-12"), air=VenueAirFact(24.8, 9.5, 29.0))
    found = reason(concluded(entry=humid, skin_kind="damp"), "air")
    assert (found.numbers["dew_point_difference_c"], found.date) == (15.3, day("5-30"))


def test_drier_air_is_a_reason_for_dry_skin_alone() -> None:
    arid = cast.entry(EVENT, kind="trip", air=VenueAirFact(-15.5, 8.0, 10.0))
    assert "air" in cast.codes(concluded(entry=arid, skin_kind="dry"))
    assert "air" not in cast.codes(concluded(entry=arid, skin_kind="damp"))


def test_a_pain_gate_is_told_with_its_limit() -> None:
    seen = (LookFact(AS_OF, "closing", pain=4),)
    flapper = EpisodeFact("d1", "R-ring-base", "flapper", day("5-8"), looks=seen)
    found = reason(concluded(cast.chance(0.94), episodes=(flapper,)), "tear")
    assert (found.numbers["pain"], found.numbers["pain_limit"]) == (4, 3)


ARID = VenueAirFact(-5.0, 3.0, 10.0)
CREAMED = tuple(cast.done(day(one), "soften", "humectant cream") for one in ("5-8", "5-9", "5-10"))


def dates(found: EntryConclusion, *codes: str) -> list[Any]:
    return [reason(found, code).date for code in codes]


def test_air_and_dryness_go_by_the_cream_while_it_is_still_to_begin() -> None:
    dry = {"skin_kind": "dry", "figures": {"dampness_mean_pt": 2.0}}
    found = concluded(weighed(dryness=0.2), entry=cast.entry(day("6-12"), kind="trip", air=ARID), **dry)
    (cream,) = cast.of_kind(found, "soften-start")
    assert cream.state == "open" and dates(found, "air", "dryness") == [cream.latest] * 2


@pytest.mark.parametrize(
    ("closes", "last"), [(None, "5-24"), ("5-20", "5-20"), ("5-10", "5-10"), ("5-4", "5-24")]
)
def test_with_nothing_left_to_do_they_are_settled_by_the_close_of_entries_or_the_eve(
    closes: str | None, last: str
) -> None:
    at = datetime.combine(day(closes), time(16), UTC) if closes else None
    trip = cast.entry(EVENT, kind="trip", air=ARID, entry_deadline=at)
    dry = {"skin_kind": "dry", "care": CREAMED, "figures": {"dampness_mean_pt": 2.0}}
    found = concluded(weighed(dryness=0.2), entry=trip, **dry)
    assert dates(found, "air", "dryness") == [day(last)] * 2


def test_a_rest_that_is_overdue_is_due_today() -> None:
    found = concluded(cast.chance(0.4, p_rest=0.6, parts={"load": 0.2}), entry=cast.entry(day("5-11")))
    assert [one.state for one in cast.of_kind(found, "rest-start")] == ["missed"]
    assert dates(found, "load") == [AS_OF]


def test_an_agent_refused_for_its_timing_names_the_day_it_was_planned_for() -> None:
    late = tuple(cast.planned(day(one), "dry", "methenamine spray") for one in ("5-20", "5-22"))
    numbers = reason(concluded(care=late), "agent").numbers
    assert (numbers["class"], numbers["planned_on"], numbers["rows"]) == ("timing", "2027-05-20", 2)


def fine(count: int, **ratings: int) -> tuple[CheckInFact, ...]:
    same = {"reserve": 8, "dampness": 5, "hardness": 4, "sting": 0, "pull_pain": 0, **ratings}
    first = AS_OF - timedelta(days=count - 1)
    return tuple(CheckInFact(one, seconds=3.0, **same) for one in cast.days(first, count))


def saw_pink(days_ago: int) -> tuple[SightingFact, ...]:
    tips = tuple((f"L-{finger}-tip", "pink") for finger in ("index", "middle", "ring"))
    return (SightingFact(AS_OF - timedelta(days=days_ago), "coach", tips),)


@pytest.mark.parametrize(
    ("answers", "days_ago", "listed"), [(9, 1, True), (7, 3, True), (6, 1, False), (9, 4, False)]
)
def test_equal_calm_answers_against_what_was_seen(answers: int, days_ago: int, listed: bool) -> None:
    found = concluded(cast.chance(0.8), checkins=fine(answers), sightings=saw_pink(days_ago))
    assert ("disagreement" in cast.codes(found)) is listed


def test_answers_that_differ_or_hurt_are_no_disagreement() -> None:
    rows = fine(9)
    moved = (*rows[:5], replace(rows[5], dampness=6), *rows[6:])
    assert "disagreement" not in cast.codes(concluded(checkins=moved, sightings=saw_pink(1)))
    assert "disagreement" not in cast.codes(concluded(checkins=fine(9, sting=4), sightings=saw_pink(1)))


def test_a_disagreement_asks_for_a_look_at_the_next_session_and_changes_no_answer() -> None:
    session = (SessionFact(day("5-12"), planned=True, minutes=90),)
    found = concluded(cast.chance(0.8), checkins=fine(9), sightings=saw_pink(1), sessions=session)
    assert reason(found, "disagreement").date == day("5-12")
    assert reason(found, "disagreement").numbers["answers"] == 9
    assert found.p == 0.8


def test_silence_says_since_when() -> None:
    found = reason(concluded(cast.chance(0.8), known_until=day("5-5")), "silence")
    assert (found.numbers["days"], found.numbers["known_until"]) == (5, "2027-05-05")


def test_the_order_of_facts_does_not_matter() -> None:
    used = (cast.done(day("5-8"), "dry", "methenamine cream"), cast.done(day("5-6"), "dry", "aluminium salt"))
    rows = fine(9)
    one = concluded(checkins=rows, sightings=saw_pink(1), care=used)
    other = concluded(checkins=tuple(reversed(rows)), sightings=saw_pink(1), care=used)
    assert one == other
