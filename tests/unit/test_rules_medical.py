"""How long a flag stands, what clears it, and that nothing on the skin is proposed while it does."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from coaching.rules import medical
from coaching.rules.conclusions import AthleteConclusion
from coaching.rules.facts import AthleteFacts, CheckInFact, LookFact, SightingFact
from tests import cast
from tests.cast import day

AS_OF = day("6-10")


def flagged(on: date, *flags: str, **changes: Any) -> AthleteFacts:
    return cast.athlete(AS_OF, checkins=(CheckInFact(on, red_flags=flags),), **changes)


def seen(by: str, on: date) -> tuple[SightingFact, ...]:
    return (SightingFact(on, by),)


@pytest.mark.parametrize(("days_ago", "expected"), [(0, "today"), (7, "today"), (8, "none")])
def test_a_flag_stands_for_a_week(days_ago: int, expected: str) -> None:
    assert medical.grade(flagged(AS_OF - timedelta(days=days_ago), "pus"), AS_OF) == expected


@pytest.mark.parametrize(
    ("by", "days_after", "expected"),
    [("medical", 0, "none"), ("medical", 1, "none"), ("medical", -1, "today"), ("coach", 1, "today")],
)
def test_only_a_medical_look_on_or_after_the_day_clears_it(by: str, days_after: int, expected: str) -> None:
    on = day("6-8")
    facts = flagged(on, "pus", sightings=seen(by, on + timedelta(days=days_after)))
    assert medical.grade(facts, AS_OF) == expected


def test_a_later_calm_answer_clears_nothing() -> None:
    rows = (CheckInFact(day("6-8"), red_flags=("throbbing",)), CheckInFact(AS_OF, sting=0, pull_pain=0))
    assert medical.grade(cast.athlete(AS_OF, checkins=rows), AS_OF) == "today"


def test_the_worst_flag_decides() -> None:
    assert medical.grade(flagged(AS_OF, "warmth", "streak"), AS_OF) == "emergency"


def test_a_flag_of_tomorrow_is_not_seen() -> None:
    assert medical.grade(flagged(AS_OF + timedelta(days=1), "pus"), AS_OF) == "none"


@pytest.mark.parametrize(("note", "expected"), [("Looks infected?", "ask"), ("new shoes", "none")])
def test_a_note_in_doubt_asks_and_never_more(note: str, expected: str) -> None:
    facts = cast.athlete(AS_OF, checkins=(CheckInFact(AS_OF, note=note),))
    assert medical.grade(facts, AS_OF) == expected


@pytest.mark.parametrize(("days_ago", "expected"), [(0, "today"), (7, "today"), (8, "none")])
def test_infection_without_a_named_sign_is_for_today(days_ago: int, expected: str) -> None:
    said = CheckInFact(AS_OF - timedelta(days=days_ago), note=f"since Monday\n{medical.UNNAMED_SIGN}")
    assert medical.grade(cast.athlete(AS_OF, checkins=(said,)), AS_OF) == expected
    looked = cast.athlete(AS_OF, checkins=(said,), sightings=seen("medical", AS_OF))
    assert medical.grade(looked, AS_OF) == "none"


def test_a_worry_stands_until_the_damage_is_seen_closed_or_a_doctor_looked() -> None:
    gaping = cast.split(day("5-20"), "L-index-tip", worries=("gaping",))
    assert medical.grade(cast.athlete(AS_OF, episodes=(gaping,)), AS_OF) == "today"
    closed = cast.split(day("5-20"), "L-index-tip", LookFact(day("6-1"), "rimmed"), worries=("gaping",))
    assert medical.grade(cast.athlete(AS_OF, episodes=(closed,)), AS_OF) == "none"
    facts = cast.athlete(AS_OF, episodes=(gaping,), sightings=seen("medical", day("5-21")))
    assert medical.grade(facts, AS_OF) == "none"


def test_a_deep_split_alone_is_no_medical_matter_a_deep_cut_is() -> None:
    hurt = cast.split(AS_OF, "L-index-tip")
    assert medical.grade(cast.athlete(AS_OF, episodes=(hurt,)), AS_OF) == "none"
    cut = cast.split(AS_OF, "L-index-tip", kind="cut")
    assert medical.grade(cast.athlete(AS_OF, episodes=(cut,)), AS_OF) == "today"


def test_care_stopped_by_a_reaction_asks() -> None:
    stopped = cast.done(day("6-9"), "dry", "aluminium salt", reaction="stopped")
    assert medical.grade(cast.athlete(AS_OF, care=(stopped,)), AS_OF) == "ask"


@pytest.fixture
def infected() -> AthleteConclusion:
    """An index split of five days on a trip: red to the middle joint, warm, throbbing, pus."""
    split = cast.split(day("6-5"), "R-index-tip", LookFact(AS_OF, "open", pain=8))
    facts = flagged(
        AS_OF,
        "redness-past-joint",
        "warmth",
        "throbbing",
        "pus",
        episodes=(split,),
        entries=(cast.entry(day("6-7"), day("6-14"), kind="trip"), cast.entry(day("6-26"), event_id="e2")),
        care=(
            cast.planned(AS_OF, "cover", "session tape", "R-index-tip"),
            cast.planned(AS_OF, "even", "sand"),
        ),
    )
    return cast.concluded(facts, cast.numbers(cast.chance(0.9), cast.chance(0.9, event_id="e2")), AS_OF)


def test_infection_outranks_every_number(infected: AthleteConclusion) -> None:
    assert (infected.medical, infected.today.may_climb) == ("emergency", "medical")
    assert {one.level for one in infected.entries} == {"out-of-reach"}
    assert {one.reasons[0].code for one in infected.entries} == {"medical"}
    assert infected.entries[0].reasons[0].date == AS_OF


def test_infection_leaves_no_tape_glue_or_sanding(infected: AthleteConclusion) -> None:
    assert infected.steps == ()
    assert {(one.form, one.hard) for one in infected.refused} == {("session tape", True), ("sand", True)}
    assert "medical" in {one.class_ for one in infected.refused}
    assert not [one for entry in infected.entries for one in entry.deadlines]
    assert {one.code for entry in infected.entries for one in entry.fallbacks} <= {
        "medical",
        "stand-in",
        "withdraw",
    }


def test_a_question_does_not_stop_climbing() -> None:
    facts = cast.athlete(
        AS_OF, checkins=(CheckInFact(AS_OF, sting=0, note="numb?"),), entries=(cast.entry(day("7-1")),)
    )
    found = cast.concluded(facts, cast.numbers(cast.chance(0.7)), AS_OF)
    assert (found.medical, found.today.may_climb) == ("ask", "free")
    assert cast.first(found).level == "on-course"
    assert cast.codes(cast.first(found))[0] == "medical"
