"""First and last days on which a rule holds, one day either side, where the other tests of the rules do not
look.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from coaching.rules import disagreement, layoff, skin
from coaching.rules.conclusions import AthleteConclusion, Deadline, EntryConclusion
from coaching.rules.facts import (
    AwayFact,
    CareFact,
    CheckInFact,
    EntryFact,
    EpisodeFact,
    LookFact,
    SessionFact,
    SightingFact,
    SignoffFact,
    VenueAirFact,
)
from coaching.rules.numbers import EntryNumbers, Quartet
from tests import cast
from tests.cast import day

AS_OF, EVENT = day("6-1"), day("6-12")
ONE = timedelta(days=1)


def everything(*chances: EntryNumbers, as_of: date = AS_OF, **changes: Any) -> AthleteConclusion:
    entries: tuple[EntryFact, ...] = changes.pop("entries", (cast.entry(EVENT),))
    figures = cast.numbers(*(chances or (cast.chance(0.7),)), episodes=changes.pop("healing", {}))
    return cast.concluded(cast.athlete(as_of, entries=entries, **changes), figures, as_of)


def entry_of(*chances: EntryNumbers, as_of: date = AS_OF, **changes: Any) -> EntryConclusion:
    return cast.first(everything(*chances, as_of=as_of, **changes))


def state(kind: str, as_of: date, *care: CareFact, **changes: Any) -> str:
    found: list[Deadline] = cast.of_kind(entry_of(as_of=as_of, care=care, **changes), kind)
    return found[0].state


def test_filing_and_agents_on_their_last_day_were_kept() -> None:
    assert state("even-last", day("6-11"), cast.done(day("6-10"), "even", "sand")) == "done"
    spray = [cast.done(day(one), "dry", "methenamine spray") for one in ("6-9", "6-10")]
    assert state("agent-stop", day("6-10"), spray[0]) == "done"
    assert state("agent-stop", day("6-10"), *spray) == "missed"


def test_toughening_on_its_last_evening_was_kept() -> None:
    crack = (cast.entry(EVENT, styles=("crack",)),)
    evenings = [cast.done(day(one), "toughen", "scrape finger sides") for one in ("6-9", "6-10")]
    assert state("toughen-stop", day("6-10"), evenings[0], entries=crack) == "done"
    assert state("toughen-stop", day("6-10"), *evenings, entries=crack) == "missed"


@pytest.mark.parametrize(("evenings", "expected"), [(7, "done"), (6, "missed")])
def test_seven_evenings_make_a_run_even_begun_late(evenings: int, expected: str) -> None:
    rows = [cast.done(one, "toughen", "scrape finger sides") for one in cast.days(day("6-1"), evenings)]
    assert (
        state("toughen-start", day("6-8"), *rows, entries=(cast.entry(EVENT, styles=("crack",)),)) == expected
    )


@pytest.mark.parametrize(("cream", "expected"), [("5-29", "done"), ("5-28", "missed")])
def test_night_cream_goes_on_while_it_is_three_days_old(cream: str, expected: str) -> None:
    assert (
        state("soften-start", AS_OF, cast.done(day(cream), "soften", "wax balm"), skin_kind="dry") == expected
    )


@pytest.mark.parametrize(("rehearsed", "expected"), [("5-1", "done"), ("4-30", "missed")])
def test_a_rehearsal_counts_for_six_weeks(rehearsed: str, expected: str) -> None:
    damp = (cast.entry(EVENT, air=VenueAirFact(24.0, 9.0)),)
    assert (
        state("rehearsal-start", AS_OF, cast.done(day(rehearsed), "try", "rehearsal"), entries=damp)
        == expected
    )


def test_signatures_in_force_on_the_day_finish_the_sign_off() -> None:
    plan = cast.planned(AS_OF, "dry", "aluminium salt")
    both = tuple(SignoffFact("aluminium salt", by, day("5-20")) for by in ("guardian", "medical"))
    assert state("medical-signoff", AS_OF, plan, age_years=16, signoffs=both) == "done"
    assert state("medical-signoff", AS_OF, plan, age_years=16, signoffs=both[:1]) == "due"


def test_what_is_done_or_missed_has_no_earliest_day() -> None:
    found = entry_of(cast.chance(0.5, p_rest=0.7))
    assert cast.of_kind(found, "rest-start")[0].earliest == AS_OF
    rested = (cast.done(day("6-10"), "rest", "rest day"),)
    later = entry_of(cast.chance(0.5, p_rest=0.7), as_of=day("6-10"), care=rested)
    assert (cast.of_kind(later, "rest-start")[0].state, cast.of_kind(later, "rest-start")[0].earliest) == (
        "done",
        None,
    )
    missed = entry_of(cast.chance(0.5, p_rest=0.7), as_of=day("6-11"))
    assert (cast.of_kind(missed, "rest-start")[0].state, cast.of_kind(missed, "rest-start")[0].earliest) == (
        "missed",
        None,
    )


@pytest.mark.parametrize(("tried", "expected"), [("6-8", "done"), ("6-7", "due")])
def test_a_taped_try_counts_for_two_days_before_its_last_day(tried: str, expected: str) -> None:
    closed = EpisodeFact(
        "d1", "L-index-tip", "split", day("5-20"), looks=(LookFact(day("6-7"), "rimmed", pain=0),)
    )
    row = cast.done(day(tried), "try", "taped try", "L-index-tip")
    assert state("taped-try", day("6-10"), row, episodes=(closed,)) == expected


def test_only_the_last_look_on_a_site_is_tight() -> None:
    """The first of two looks can be made good by the second."""
    torn_on = AS_OF - ONE  # a flapper has closed within two days
    closing = EpisodeFact("d1", "R-ring-base", "flapper", torn_on, looks=(LookFact(AS_OF, "closing", pain=0),))
    healing = {"d1": cast.healing(Quartet(0, 0, 1, 2), p_sound_by_day={EVENT: 0.2})}
    first = entry_of(cast.chance(0.9), episodes=(closing,), healing=healing)
    assert [one.slack_days for one in cast.of_kind(first, "look")] == [1, 9]
    assert first.level == "on-course"
    tried = (cast.done(day("6-10"), "try", "taped try", "R-ring-base"),)
    closed = replace(closing, looks=(LookFact(day("6-9"), "rimmed", pain=0),))
    last = entry_of(
        cast.chance(0.9),
        as_of=day("6-10"),
        episodes=(closed,),
        healing=healing,
        care=tried,
        known_until=day("6-10"),
    )
    assert last.level == "tight"


@pytest.mark.parametrize(("pink", "level"), [((("L-index-tip", "pink"),), "act"), ((), "out-of-reach")])
def test_a_look_at_pink_tips_keeps_an_entry_within_reach(
    pink: tuple[tuple[str, str], ...], level: str
) -> None:
    rows = (CheckInFact(AS_OF, sting=6, marks=pink),)
    assert entry_of(cast.chance(0.2), checkins=rows).level == level


@pytest.mark.parametrize(("days", "may_climb"), [(2, "off"), (3, "not-those-holds")])
def test_a_hole_is_off_for_three_days(days: int, may_climb: str) -> None:
    hole = EpisodeFact("d1", "L-index-tip", "holed", AS_OF - days * ONE)
    assert everything(episodes=(hole,)).today.may_climb == may_climb


def test_a_look_of_today_by_others_clears_pink() -> None:
    seen = SightingFact(AS_OF - ONE, "coach", (("L-index-tip", "pink"),))
    facts = cast.athlete(AS_OF, sightings=(seen, SightingFact(AS_OF, "coach")))
    assert skin.pink(facts, AS_OF) is None


def test_a_calm_answer_of_the_same_day_clears_no_pink() -> None:
    rows = (CheckInFact(AS_OF, sting=1, marks=(("L-index-tip", "pink"),)),)
    assert skin.pink(cast.athlete(AS_OF, checkins=rows), AS_OF) is not None


@pytest.mark.parametrize(("dampness", "kind"), [(3.0, "dry"), (3.1, "mixed"), (6.4, "mixed"), (6.5, "damp")])
@pytest.mark.parametrize("ratings", [7, 6])
def test_kind_needs_seven_ratings(dampness: float, kind: str, ratings: int) -> None:
    rows = tuple(CheckInFact(one, dampness=5) for one in cast.days(day("5-20"), ratings))
    facts = cast.athlete(AS_OF, skin_kind=None, checkins=rows)
    found = skin.kind(facts, cast.numbers(dampness_mean_pt=dampness, dampness_sd_pt=1.5))
    assert found == (kind if ratings == 7 else None)


@pytest.mark.parametrize(("pain", "listed"), [(1, True), (2, False)])
def test_calm_means_one_at_the_most(pain: int, listed: bool) -> None:
    rows = tuple(CheckInFact(one, pull_pain=pain) for one in cast.days(AS_OF - 6 * ONE, 7))
    seen = (SightingFact(AS_OF, "coach", (("L-index-tip", "pink"),)),)
    assert (
        disagreement.disagreement(cast.athlete(AS_OF, checkins=rows, sightings=seen), AS_OF) is not None
    ) is listed


def climbed(*days: date, minutes: float = 60.0) -> tuple[SessionFact, ...]:
    return tuple(SessionFact(one, planned=False, minutes=minutes) for one in days)


def test_a_gap_needs_an_answer_or_an_absence_inside_it() -> None:
    rows = climbed(AS_OF - 20 * ONE)
    silent = cast.athlete(AS_OF, sessions=rows, checkins=(CheckInFact(AS_OF - 20 * ONE),))
    assert layoff.latest(silent, AS_OF) is None
    long_ago = replace(silent, away=(AwayFact(day("4-1"), day("4-9"), "water"),))
    assert layoff.latest(long_ago, AS_OF) is None
    away = replace(silent, away=(AwayFact(day("5-14"), day("5-20"), "water"),))
    assert layoff.latest(away, AS_OF) == layoff.Layoff(20, None)


def test_a_session_of_no_minutes_is_no_climbing_and_one_today_ends_the_gap() -> None:
    rows = climbed(AS_OF - 20 * ONE) + climbed(AS_OF - 5 * ONE, minutes=0.0)
    assert (
        layoff.latest(cast.athlete(AS_OF, sessions=rows, checkins=(CheckInFact(AS_OF - ONE),)), AS_OF)
        is not None
    )
    back = climbed(AS_OF - 20 * ONE, AS_OF)
    found = layoff.latest(cast.athlete(AS_OF, sessions=back, checkins=(CheckInFact(AS_OF - ONE),)), AS_OF)
    assert found == layoff.Layoff(19, AS_OF)


@pytest.mark.parametrize(("ahead", "listed"), [(28, True), (29, False)])
def test_a_layoff_matters_four_weeks_before_an_event(ahead: int, listed: bool) -> None:
    away = (AwayFact(day("5-14"), day("5-20"), "water"),)
    found = entry_of(
        cast.chance(0.4),
        entries=(cast.entry(AS_OF + ahead * ONE),),
        sessions=climbed(AS_OF - 20 * ONE),
        away=away,
    )
    assert ("layoff" in cast.codes(found)) is listed


def test_an_event_that_has_begun_may_have_no_number_one_ahead_must() -> None:
    begun = cast.entry(AS_OF - ONE, AS_OF, event_id="e0")
    found = everything(entries=(begun, cast.entry(EVENT)))
    assert [one.event_id for one in found.entries] == ["e1"]
    with pytest.raises(ValueError, match="event e0"):
        everything(entries=(replace(begun, first_day=AS_OF + ONE, last_day=AS_OF + ONE),))


@pytest.mark.parametrize("p", [0.9, 0.55])
def test_two_events_close_together_are_said_whatever_they_cost(p: float) -> None:
    """A trip three days after an event goes unnoticed (common practice, no source): on course it is said too."""
    entries = (cast.entry(EVENT), cast.entry(day("6-16"), event_id="e2"))
    found = entry_of(cast.chance(p), cast.chance(0.9, event_id="e2"), entries=entries)
    assert "clash" in cast.codes(found)


@pytest.mark.parametrize(("other", "offered"), [("6-13", True), ("6-12", False)])
def test_a_lighter_event_is_one_that_does_not_overlap_and_is_likelier(other: str, offered: bool) -> None:
    entries = (cast.entry(EVENT), cast.entry(day(other), event_id="e2"))
    found = entry_of(cast.chance(0.3, p_rest=0.6), cast.chance(0.5, event_id="e2"), entries=entries)
    assert ("lighter-event" in {one.code for one in found.fallbacks}) is offered
    worse = entry_of(cast.chance(0.3, p_rest=0.6), cast.chance(0.3, event_id="e2"), entries=entries)
    assert "lighter-event" not in {one.code for one in worse.fallbacks}


def test_without_a_closing_day_a_stand_in_is_named_by_the_eve() -> None:
    found = entry_of(cast.chance(0.3, p_rest=0.6))
    (cost,) = [one.cost for one in found.fallbacks if one.code == "stand-in"]
    assert (cost["by"], cost["days_left"]) == ("2027-06-11", 10)


def test_an_event_that_has_begun_has_neither_stand_in_nor_lighter_event() -> None:
    trip = cast.entry(AS_OF, EVENT, kind="trip")
    found = entry_of(cast.chance(0.3, p_rest=0.6, good_days=(12, 5.0, 3.0, 8.0)), entries=(trip,))
    assert {one.code for one in found.fallbacks} == {"fewer-days", "withdraw"}


def test_a_taped_try_of_today_is_a_step_of_today() -> None:
    closed = EpisodeFact(
        "d1", "L-index-tip", "split", day("5-20"), looks=(LookFact(day("6-9"), "rimmed", pain=0),)
    )
    found = everything(as_of=day("6-10"), episodes=(closed,), known_until=day("6-10"))
    assert day("6-10") in {one.date for one in found.steps if one.form == "taped try"}


def test_pain_of_the_morning_counts_unless_it_is_older_than_the_damage() -> None:
    new = EpisodeFact("d1", "L-index-tip", "split", AS_OF)
    for pain, shown in ((0, None), (6, 6)):
        rows = (CheckInFact(AS_OF, pull_pain=pain),)
        found = entry_of(cast.chance(0.4), episodes=(new,), checkins=rows)
        assert found.reasons[0].numbers["pain"] == shown
    seen = replace(new, noticed_on=AS_OF - ONE, looks=(LookFact(AS_OF, "rimmed", pain=1),))
    same_day = entry_of(cast.chance(0.4), episodes=(seen,), checkins=(CheckInFact(AS_OF, pull_pain=6),))
    assert same_day.reasons[0].numbers["pain"] == 1


def test_the_second_agent_of_the_last_week_looks_two_weeks_back() -> None:
    used = [
        cast.done(day("5-1"), "dry", "aluminium salt"),
        cast.done(day("5-22"), "dry", "methenamine spray"),
    ]
    near, far = (
        cast.planned(day("6-5"), "dry", "aluminium salt"),
        cast.planned(day("6-6"), "dry", "aluminium salt"),
    )
    assert [one.class_ for one in everything(care=(*used, near)).refused] == ["clash"]
    assert everything(care=(*used, far)).refused == ()
    planned_once = cast.planned(day("5-30"), "dry", "methenamine spray")
    assert everything(care=(used[0], replace(planned_once, day=day("5-28")), near)).refused == ()


def test_a_signature_holds_on_its_last_day() -> None:
    row = cast.planned(AS_OF, "dry", "aluminium salt")
    until = [SignoffFact("aluminium salt", by, day("5-20"), AS_OF) for by in ("guardian", "medical")]
    assert everything(care=(row,), age_years=16, signoffs=tuple(until)).refused == ()
    assert (
        everything(care=(replace(row, day=AS_OF + ONE),), age_years=16, signoffs=tuple(until)).refused != ()
    )


def test_a_session_on_another_day_does_not_forbid_balm_by_day() -> None:
    tomorrow = (SessionFact(AS_OF + ONE, planned=True, minutes=90),)
    assert (
        everything(care=(cast.planned(AS_OF, "soften", "wax balm", part="day"),), sessions=tomorrow).refused
        == ()
    )


def test_the_look_of_a_disagreement_is_at_a_later_session_than_todays() -> None:
    rows = tuple(CheckInFact(one, pull_pain=0) for one in cast.days(AS_OF - 6 * ONE, 7))
    seen = (SightingFact(AS_OF, "coach", (("L-index-tip", "pink"),)),)
    sessions = tuple(SessionFact(AS_OF + n * ONE, planned=True, minutes=60) for n in (0, 4))
    found = entry_of(checkins=rows, sightings=seen, sessions=sessions)
    assert [one.date for one in found.reasons if one.code == "disagreement"] == [day("6-5")]


@pytest.mark.parametrize(("flags", "note", "when"), [(("pus",), "", AS_OF), ((), "numb?", AS_OF + ONE)])
def test_a_red_flag_is_for_today_a_question_for_tomorrow(
    flags: tuple[str, ...], note: str, when: date
) -> None:
    rows = (CheckInFact(AS_OF, red_flags=flags, note=note),)
    assert entry_of(checkins=rows).reasons[0].date == when


def test_days_of_a_competition_are_not_limited_days_of_a_trip_are() -> None:
    pink = (CheckInFact(AS_OF, sting=6, marks=(("L-index-tip", "pink"),)),)
    games = everything(entries=(cast.entry(AS_OF, AS_OF + ONE),), checkins=pink)
    assert min(one.date for one in games.limits) == AS_OF + 2 * ONE
    trip = everything(entries=(cast.entry(AS_OF, AS_OF + 9 * ONE, kind="trip"),), checkins=pink)
    assert min(one.date for one in trip.limits) == AS_OF
