"""Levels by their order of precedence, each at its border; and what is left where skin does not hold."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from coaching.rules.conclusions import EntryConclusion
from coaching.rules.facts import CheckInFact, EpisodeFact, LookFact
from coaching.rules.numbers import EntryNumbers, Quartet
from tests import cast
from tests.cast import day

AS_OF, EVENT = day("5-10"), day("5-20")


def concluded(chance: EntryNumbers, **changes: Any) -> EntryConclusion:
    entry = changes.pop("entry", cast.entry(EVENT))
    figures = cast.numbers(chance, episodes=changes.pop("healing", {}))
    facts = cast.athlete(
        changes.get("as_of", AS_OF), entries=(entry,), **{k: v for k, v in changes.items() if k != "as_of"}
    )
    return cast.first(cast.concluded(facts, figures, changes.get("as_of", AS_OF)))


def hurt(*looks: LookFact, site: str = "L-index-tip", kind: str = "split") -> tuple[EpisodeFact, ...]:
    return (EpisodeFact("d1", site, kind, AS_OF - timedelta(days=4), looks=looks),)


@pytest.mark.parametrize(
    ("p", "low", "level"),
    [(0.6, 0.5, "on-course"), (0.6, 0.499, "tight"), (0.5, 0.5, "on-course"), (0.499, 0.4, "act")],
)
def test_p_and_its_low_end_against_the_bar(p: float, low: float, level: str) -> None:
    assert concluded(cast.chance(p, low=low, p_rest=0.7)).level == level


@pytest.mark.parametrize(("p_rest", "level"), [(0.5, "act"), (0.499, "out-of-reach")])
def test_no_plan_that_reaches_the_bar_is_out_of_reach(p_rest: float, level: str) -> None:
    assert concluded(cast.chance(0.3, p_rest=p_rest)).level == level


def test_the_coachs_own_bar_is_not_provisional_and_the_squads_may_be() -> None:
    own = concluded(cast.chance(0.6, low=0.55), entry=cast.entry(EVENT, bar_frac=0.7))
    assert (own.level, own.bar_frac, own.bar_provisional) == ("out-of-reach", 0.7, False)
    squad = concluded(cast.chance(0.6, low=0.55))
    assert (squad.level, squad.bar_frac, squad.bar_provisional) == ("on-course", 0.5, True)


def test_a_pending_look_keeps_an_entry_within_reach_while_it_is_worth_it() -> None:
    open_split = hurt(LookFact(AS_OF, "open", pain=1))
    assert concluded(cast.chance(0.2, p_protected=0.1), episodes=open_split).level == "act"
    assert concluded(cast.chance(0.2, p_protected=0.09), episodes=open_split).level == "out-of-reach"


def test_a_try_that_was_never_made_leaves_nothing_pending() -> None:
    """Two days before the event is the 18th; on the evening of the 19th the try is missed."""
    seen_open = hurt(LookFact(day("5-18"), "open", pain=1))
    late = concluded(
        cast.chance(0.2, p_protected=0.4), episodes=seen_open, as_of=day("5-19"), known_until=day("5-19")
    )
    assert late.level == "out-of-reach"


def test_a_taped_start_that_reaches_the_bar_is_a_plan() -> None:
    closed = hurt(LookFact(day("5-18"), "rimmed", pain=1, opens_on_pull=False))
    tried = (cast.done(day("5-18"), "try", "taped try", "L-index-tip"),)
    found = concluded(
        cast.chance(0.3, p_protected=0.6),
        episodes=closed,
        care=tried,
        as_of=day("5-19"),
        known_until=day("5-19"),
    )
    assert found.level == "act"


@pytest.mark.parametrize(
    ("site", "kind", "pain", "opens", "level"),
    [
        ("L-index-tip", "split", 2, False, "on-course"),
        ("L-index-tip", "split", 3, False, "tight"),
        ("L-index-tip-crease", "split", 3, False, "tight"),
        ("L-index-tip", "split", 0, True, "tight"),
        ("R-ring-base", "flapper", 3, False, "on-course"),
        ("R-ring-base", "flapper", 4, False, "tight"),
    ],
)
def test_pain_is_never_on_course(site: str, kind: str, pain: int, opens: bool, level: str) -> None:
    look = LookFact(AS_OF, "thinned", pain=pain, opens_on_pull=opens)
    healed = {"d1": cast.healing(Quartet(0, 0, 0, 0), p_sound_by_day={EVENT: 0.97})}
    assert (
        concluded(cast.chance(0.9), episodes=hurt(look, site=site, kind=kind), healing=healed).level == level
    )


def test_pain_where_the_event_does_not_pull_is_no_gate() -> None:
    look = LookFact(AS_OF, "thinned", pain=6)
    slopers = cast.entry(EVENT, styles=("sloper",))
    assert concluded(cast.chance(0.9), episodes=hurt(look), entry=slopers).level == "on-course"


@pytest.mark.parametrize(("days_to_try", "level"), [(2, "on-course"), (1, "tight"), (0, "tight")])
def test_a_try_with_a_day_to_spare_or_less_is_tight(days_to_try: int, level: str) -> None:
    """The try is two days before the event; without it the split would have to be sound, a chance below the
    bar.
    """
    event = AS_OF + timedelta(days=days_to_try + 2)
    healed = {"d1": cast.healing(Quartet(0, 0, 0, 0), p_sound_by_day={event: 0.3})}
    look = LookFact(AS_OF - timedelta(days=1), "thinned", pain=0)
    found = concluded(cast.chance(0.9), episodes=hurt(look), healing=healed, entry=cast.entry(event))
    assert found.level == level


def test_a_near_deadline_that_costs_nothing_is_not_tight() -> None:
    assert concluded(cast.chance(0.9), entry=cast.entry(AS_OF + timedelta(days=3))).level == "on-course"


@pytest.mark.parametrize(("silent", "level"), [(3, "on-course"), (4, "not-known")])
def test_silence_over_three_days_is_not_known(silent: int, level: str) -> None:
    found = concluded(cast.chance(0.9), known_until=AS_OF - timedelta(days=silent))
    assert found.level == level
    assert ("silence" in cast.codes(found)) is (level == "not-known")


def test_medical_comes_before_silence() -> None:
    flagged = CheckInFact(AS_OF - timedelta(days=5), red_flags=("pus",))
    found = concluded(cast.chance(0.9), known_until=flagged.day, checkins=(flagged,))
    assert (found.level, found.reasons[0].code) == ("out-of-reach", "medical")


@pytest.mark.parametrize(
    "chance", [cast.chance(0.2), cast.chance(0.4, p_rest=0.6), cast.chance(0.55, low=0.4)]
)
def test_every_entry_off_course_has_a_reason_with_a_date(chance: EntryNumbers) -> None:
    found = concluded(chance)
    assert found.level != "on-course"
    assert found.reasons and all(one.date is not None for one in found.reasons)


def test_on_course_needs_no_fallback() -> None:
    assert concluded(cast.chance(0.9)).fallbacks == ()


@pytest.mark.parametrize(("closes", "offered"), [("5-10", True), ("5-9", False)])
def test_a_stand_in_is_offered_until_entries_close(closes: str, offered: bool) -> None:
    entry = cast.entry(EVENT, entry_deadline=cast.at(closes, 18))
    found = concluded(cast.chance(0.3, p_rest=0.6), entry=entry)
    assert ("stand-in" in {one.code for one in found.fallbacks}) is offered


def test_a_trip_can_be_shortened_or_begun_later() -> None:
    trip = cast.entry(EVENT, EVENT + timedelta(days=6), kind="trip")
    healed = {"d1": cast.healing(Quartet(5, 8, 9, 10), Quartet(8, 10, 12, 14))}
    chance = cast.chance(0.3, p_rest=0.6, good_days=(7, 4.0, 2.0, 5.0))
    found = concluded(chance, entry=trip, episodes=hurt(LookFact(AS_OF, "open")), healing=healed)
    costs = {one.code: one.cost.get("days_lost") for one in found.fallbacks}
    assert costs["fewer-days"] == 3.0
    assert costs["later-arrival"] == 2


def test_an_entry_without_a_number_is_an_error_that_names_it() -> None:
    facts = cast.athlete(AS_OF, entries=(cast.entry(EVENT, event_id="e9"),))
    with pytest.raises(ValueError, match="event e9 of athlete a1"):
        cast.concluded(facts, cast.numbers(), AS_OF)


@pytest.mark.parametrize(
    ("last", "status", "listed"), [(0, "entered", 1), (1, "entered", 0), (-5, "withdrawn", 0)]
)
def test_entries_that_are_over_or_withdrawn_are_left_out(last: int, status: str, listed: int) -> None:
    entry = cast.entry(AS_OF - timedelta(days=last), status=status)
    facts = cast.athlete(AS_OF, entries=(entry,))
    assert len(cast.concluded(facts, cast.numbers(cast.chance(0.7)), AS_OF).entries) == listed


@pytest.mark.parametrize(
    ("part", "kind", "gain", "level"),
    [
        ("dampness", "damp", 0.2, "act"),
        ("dampness", "damp", 0.19, "out-of-reach"),
        ("dampness", "dry", 0.2, "out-of-reach"),
        ("dryness", "dry", 0.2, "act"),
        ("reserve", "damp", 0.2, "out-of-reach"),
    ],
)
def test_care_that_can_still_begin_keeps_an_entry_within_reach(
    part: str, kind: str, gain: float, level: str
) -> None:
    """Three weeks ahead a first use, a cream or a file can still be in time; lost reserve is for rest to give
    back.
    """
    ahead = cast.entry(AS_OF + timedelta(days=21))
    found = concluded(cast.chance(0.3, parts={part: gain}), entry=ahead, skin_kind=kind)
    assert found.level == level


def test_care_that_is_too_late_gives_nothing_back() -> None:
    """Ten days ahead no agent begins any more."""
    found = concluded(cast.chance(0.3, parts={"dampness": 0.4}), skin_kind="damp")
    assert found.level == "out-of-reach"


def test_two_names_of_one_trouble_are_not_added_up() -> None:
    ahead = cast.entry(AS_OF + timedelta(days=21))
    found = concluded(cast.chance(0.3, parts={"dampness": 0.15, "air": 0.15}), entry=ahead, skin_kind="damp")
    assert found.level == "out-of-reach"
