"""Borders that single cases showed: a try that can answer, the end of a silence, lost rest, a run begun too late.

The days are common practice without a source or judgement, as said beside each.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from coaching.rules.conclusions import AthleteConclusion, EntryConclusion
from coaching.rules.facts import CheckInFact, EntryFact, EpisodeFact, LookFact, SightingFact
from coaching.rules.numbers import Quartet
from coaching.rules.skin import Pink
from tests import cast
from tests.cast import day

AS_OF, EVENT = day("5-10"), day("5-14")
TIP = "L-index-tip"
OPEN = (LookFact(AS_OF, "open", pain=1),)


def torn(noticed: date, depth: str = "deep", **changes: object) -> AthleteConclusion:
    """An open split with one in two that it is usable on the event's first day."""
    hurt = EpisodeFact("d1", TIP, "split", noticed, depth=depth, looks=OPEN)
    course = cast.healing(Quartet(1, 2, 3, 4), p_usable_by_day={EVENT: 0.5}, p_sound_by_day={EVENT: 0.1})
    facts = cast.athlete(AS_OF, episodes=(hurt,), entries=(cast.entry(EVENT),), **changes)
    return cast.concluded(facts, cast.numbers(cast.chance(0.7, p_protected=0.5), episodes={"d1": course}), AS_OF)


def tries(found: AthleteConclusion) -> list[date]:
    return [one.latest for one in cast.of_kind(cast.first(found), "taped-try")]


@pytest.mark.parametrize(
    ("noticed", "depth", "expected"),
    [("5-8", "deep", ["5-12"]), ("5-9", "deep", ["5-13"]), ("5-10", "deep", []), ("5-10", "shallow", ["5-12"])],
)
def test_the_try_waits_for_a_day_on_which_it_can_answer(noticed: str, depth: str, expected: list[str]) -> None:
    """Usable taped from day 4, shallow from day 2 (common practice, no source); the 13th is the eve."""
    found = torn(day(noticed), depth)
    assert tries(found) == [day(text) for text in expected]
    assert [one.date for one in found.steps if one.form == "taped try"] == tries(found)
    assert [one.date for one in found.limits if one.hard_tries == 6] == tries(found)


def test_a_look_that_finds_it_open_does_not_move_the_day_of_the_try() -> None:
    """Entries close on the 13th, so the try is on the 12th; that evening it is lost, not put off and not advised."""
    as_of, closes = day("5-12"), cast.at("5-13", 18)
    hurt = EpisodeFact("d1", TIP, "split", day("5-3"), depth="deep", looks=(LookFact(as_of, "open", pain=3),))
    facts = cast.athlete(as_of, episodes=(hurt,), entries=(cast.entry(EVENT, entry_deadline=closes),))
    course = cast.healing(Quartet(1, 2, 3, 4), p_usable_by_day={as_of: 0.0, EVENT: 0.6})
    found = cast.concluded(facts, cast.numbers(cast.chance(0.4), episodes={"d1": course}), as_of)
    assert [(one.latest, one.state) for one in cast.of_kind(cast.first(found), "taped-try")] == [(as_of, "missed")]
    assert "taped try" not in [one.form for one in found.steps]
    assert [(one.date, one.hard_tries) for one in found.limits] == [(as_of, None), (day("5-13"), 0)]


def test_open_damage_is_covered_until_somebody_has_seen_it_closed() -> None:
    """Its late end of closing is in three days, and nobody looks before the 12th: a week of cover."""
    nights = {one.date for one in torn(day("5-8")).steps if one.part == "night"}
    assert nights == set(cast.days(AS_OF, 7))


def test_without_leave_to_tape_there_is_no_try_and_no_tape_to_fall_back_on() -> None:
    bare, taped = torn(day("5-8"), sensitivities=frozenset({"adhesive"})), torn(day("5-8"))
    assert tries(bare) == [] and tries(taped) == [day("5-12")]
    assert "protect" not in [one.code for one in cast.first(bare).fallbacks]
    assert "protect" in [one.code for one in cast.first(taped).fallbacks]


@pytest.mark.parametrize(("stage", "sound_frac", "level"), [
    ("open", 0.9, "tight"), ("open", 0.96, "on-course"), ("closing", 0.9, "on-course"),
])  # fmt: skip
def test_damage_last_seen_open_is_not_on_course_unless_sure_to_be_sound(
    stage: str, sound_frac: float, level: str
) -> None:
    """Judgement: 95 in 100 is sure; whatever the chance says, somebody has to look first."""
    far = day("6-10")
    hurt = EpisodeFact("d1", "R-ring-base", "flapper", day("5-9"), looks=(LookFact(AS_OF, stage, pain=0),))
    course = cast.healing(Quartet(1, 2, 3, 4), p_sound_by_day={far: sound_frac})
    facts = cast.athlete(AS_OF, episodes=(hurt,), entries=(cast.entry(far),))
    found = cast.concluded(facts, cast.numbers(cast.chance(0.9), episodes={"d1": course}), AS_OF)
    assert cast.first(found).level == level


@pytest.mark.parametrize("seen", ["damage", "sighting", None])
def test_somebodys_eyes_end_a_silence(seen: str | None) -> None:
    silent = cast.athlete(AS_OF, checkins=(), known_until=day("5-1"), entries=(cast.entry(EVENT),))
    hurt = EpisodeFact("d1", TIP, "split", AS_OF, depth="shallow")
    looked = {
        "damage": {"episodes": (hurt,)},
        "sighting": {"sightings": (SightingFact(day("5-8"), "coach"),)},
        None: {},
    }
    found = cast.concluded(replace(silent, **looked[seen]), cast.numbers(cast.chance(0.8)), AS_OF)
    known = {"damage": AS_OF, "sighting": day("5-8"), None: day("5-1")}
    assert found.known_until == known[seen]
    assert (found.today.may_climb == "not-known") == (seen is None)


def closing(zone: str, at: str) -> EntryFact:
    return cast.entry(EVENT, timezone=zone, entry_deadline=datetime.fromisoformat(at).astimezone(ZoneInfo(zone)))


@pytest.mark.parametrize(("zone", "at"), [
    ("Pacific/Auckland", "2027-05-13T06:00:00+12:00"), ("America/Los_Angeles", "2027-05-12T20:00:00-07:00"),
])  # fmt: skip
def test_the_closing_day_is_the_earlier_of_there_and_here(zone: str, at: str) -> None:
    """In Vienna the first instant is 20:00 on the 12th, the second 05:00 on the 13th."""
    facts = cast.athlete(AS_OF, entries=(closing(zone, at),))
    found = cast.first(cast.concluded(facts, cast.numbers(cast.chance(0.4)), AS_OF))
    assert [(one.latest, one.at) for one in cast.of_kind(found, "entry")] == [(day("5-12"), at)]
    assert next(one for one in found.fallbacks if one.code == "stand-in").cost["days_left"] == 2


def pink_on(seen: date, as_of: date, event: date, *sightings: SightingFact) -> AthleteConclusion:
    worn = CheckInFact(seen, reserve=3, sting=6, marks=((TIP, "pink"),))
    facts = cast.athlete(as_of, checkins=(worn,), known_until=seen, entries=(cast.entry(event),), sightings=sightings)
    return cast.concluded(facts, cast.numbers(cast.chance(0.9)), as_of)


@pytest.mark.parametrize(("days_after_look", "share"), [(1, 0), (2, 0), (3, 1 / 3), (5, 1), (9, 1)])
def test_what_is_left_if_pink_tips_lose_their_rest(days_after_look: int, share: float) -> None:
    """As before after 2-5 days (common practice, no source), taken as even in between (judgement)."""
    pink = Pink((TIP,), day("4-4"))
    assert pink.as_before_frac(day("4-7") + (day("5-2") - day("5-1")) * days_after_look) == pytest.approx(share)


@pytest.mark.parametrize(("event", "level"), [("4-10", "tight"), ("4-13", "on-course")])
def test_rest_for_pink_tips_that_cannot_be_made_up_is_tight(event: str, level: str) -> None:
    """Day 6 leaves three days after the look, day 9 leaves six; the bar is 0.5."""
    assert cast.first(pink_on(day("4-4"), day("4-4"), day(event))).level == level


def test_tips_still_pink_at_the_look_rest_until_the_event() -> None:
    """Wednesday's look finds pink: nothing on Thursday, nothing on Friday."""
    still = SightingFact(day("4-7"), "coach", ((TIP, "pink"),))
    found = pink_on(day("4-4"), day("4-7"), day("4-10"), still)
    assert [(one.date, one.hard_tries) for one in found.limits] == [(day(f"4-{n}"), 0) for n in (7, 8, 9)]
    assert cast.first(found).level == "tight"


def test_tips_found_well_at_the_look_are_tested_shortly_and_rest_on_the_eve() -> None:
    """Nothing waits any more, but ten tries on Thursday and nothing on Friday hold."""
    found = pink_on(day("4-4"), day("4-7"), day("4-10"), SightingFact(day("4-7"), "coach"))
    assert (found.today.may_climb, cast.first(found).level) == ("free", "on-course")
    assert [(one.date, one.hard_tries, one.if_) for one in found.limits] == [
        (day("4-8"), 10, None),
        (day("4-9"), 0, None),
    ]


@pytest.mark.parametrize(("answered", "off"), [("4-5", True), ("4-6", False)])
def test_a_calm_answer_on_the_next_day_does_not_end_the_rest_of_pink_tips(answered: str, off: bool) -> None:
    """Judgement: the sting goes before the skin is back; from the second day on the athlete's word counts."""
    worn = CheckInFact(day("4-4"), reserve=3, sting=6, marks=((TIP, "pink"),))
    calm = CheckInFact(day(answered), reserve=5, sting=1)
    facts = cast.athlete(day(answered), checkins=(worn, calm), entries=(cast.entry(day("4-10")),))
    found = cast.concluded(facts, cast.numbers(cast.chance(0.9)), day(answered))
    assert (found.today.may_climb == "off") == off


@pytest.mark.parametrize("kept", [True, False])
def test_pink_tips_stay_tight_until_they_are_seen(kept: bool) -> None:
    """Monday evening, rest kept or not: Wednesday's look is still to come."""
    worn = CheckInFact(day("4-4"), reserve=3, sting=6, marks=((TIP, "pink"),))
    rested = (cast.done(day("4-5"), "rest", "rest day"),) if kept else ()
    facts = cast.athlete(day("4-5"), checkins=(worn,), care=rested, entries=(cast.entry(day("4-10")),))
    found = cast.concluded(facts, cast.numbers(cast.chance(0.9)), day("4-5"))
    assert cast.first(found).level == "tight"


@pytest.mark.parametrize(("first_evening", "refused"), [("5-20", 0), ("5-21", 4)])
def test_a_run_needs_seven_evenings_before_its_last(first_evening: str, refused: int) -> None:
    """A run of 7-10 evenings (common practice, no source) that ends on the 26th, three days before the event."""
    evenings = cast.days(day(first_evening), 4)
    rows = tuple(cast.planned(one, "toughen", "scrape finger sides", part="night") for one in evenings)
    entry = cast.entry(day("5-29"), styles=("crack",))
    facts = cast.athlete(AS_OF, care=rows, entries=(entry,))
    found = cast.concluded(facts, cast.numbers(cast.chance(0.8)), AS_OF)
    assert [one.class_ for one in found.refused] == ["timing"] * refused


def on_the_trip(good_p50: float) -> EntryConclusion:
    trip = cast.entry(day("5-9"), day("5-17"), kind="trip")
    hurt = EpisodeFact("d1", TIP, "holed", AS_OF, looks=(LookFact(AS_OF, "open", pain=3),))
    facts = cast.athlete(AS_OF, episodes=(hurt,), entries=(trip,))
    chance = cast.chance(0.0, low=0.0, high=0.0, p_protected=0.0, good_days=(8, good_p50, 0.0, 4.0))
    return cast.first(cast.concluded(facts, cast.numbers(chance), AS_OF))


@pytest.mark.parametrize(("good_p50", "level"), [(1.0, "act"), (0.9, "out-of-reach")])
def test_a_trip_with_a_good_day_left_is_within_reach(good_p50: float, level: str) -> None:
    found = on_the_trip(good_p50)
    costs = {one.code: one.cost for one in found.fallbacks}
    assert found.level == level and "later-arrival" not in costs
    assert costs["withdraw"]["days_lost"] == 7  # the 11th to the 17th; what is climbed is climbed
