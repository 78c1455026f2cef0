"""Days of climbing in a row, answers at the worst end of a scale, and damage that opened again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from coaching.rules import rulebook
from coaching.rules.damage import Damage
from coaching.rules.decide import decide
from coaching.rules.facts import CheckInFact, EpisodeFact, LookFact, SessionFact
from coaching.rules.overrides import Change, apply
from tests import cast
from tests.cast import day

AS_OF = day("6-1")
EVENT = day("6-20")


def session(offset: int, surface: str, minutes: float = 120.0) -> SessionFact:
    return SessionFact(AS_OF + timedelta(days=offset), planned=offset > 0, minutes=minutes, surface=surface)


def off(*sessions: SessionFact, book: rulebook.Rulebook | None = None) -> list[int]:
    """Days from today without load."""
    facts = cast.athlete(AS_OF, entries=(cast.entry(EVENT),), sessions=sessions)
    numbers = cast.numbers(cast.chance(0.9))
    found = decide(facts, numbers, AS_OF, book or rulebook.current())
    return [(one.date - AS_OF).days for one in found.limits if one.surface is None]


@pytest.mark.parametrize(
    ("surface", "expected"),
    [("sharp rock", [2, 5]), ("ordinary rock", [2, 5]), ("fresh plastic", [2, 5]), ("fine rock", [3]), ("plastic", []),
     ("wood", [])],
)  # fmt: skip
def test_two_days_on_rough_rock_three_on_finer_none_counted_on_kind_surfaces(surface: str, expected: list[int]) -> None:
    """Two on, one off; limestone up to three (common practice, no source)."""
    assert off(*(session(n, surface) for n in range(7))) == expected


def test_a_day_off_and_a_short_test_begin_a_new_count() -> None:
    assert off(session(0, "sharp rock"), session(1, "sharp rock"), session(3, "sharp rock")) == []
    short = session(1, "sharp rock", minutes=30.0)
    assert off(session(0, "sharp rock"), short, session(2, "sharp rock"), session(3, "sharp rock")) == []


def test_a_club_may_allow_more_days_on() -> None:
    own = apply(rulebook.current(), [Change("rest.rest-day", "days_on", (3, 4), AS_OF, "hard hands")], AS_OF)
    assert off(*(session(n, "sharp rock") for n in range(5)), book=own) == [3]


@pytest.mark.parametrize(
    ("said", "expected"),
    [({"reserve": 1}, "off"), ({"reserve": 2}, "free"), ({"sting": 7}, "off"), ({"sting": 6}, "free"),
     ({"pull_pain": 7}, "off"), ({"pull_pain": 6}, "free")],
)  # fmt: skip
def test_an_answer_at_the_worst_end_is_off_today_and_tomorrow(said: dict[str, int], expected: str) -> None:
    """Judgement: skin that is gone, or burns at every touch, is not climbed on; wherever it is."""
    calm = {"reserve": 6, "sting": 1, "pull_pain": 0} | said
    facts = cast.athlete(AS_OF, entries=(cast.entry(EVENT),), checkins=(CheckInFact(AS_OF, **calm),))
    found = cast.concluded(facts, cast.numbers(cast.chance(0.9)), AS_OF)
    assert found.today.may_climb == expected
    days = [(one.date - AS_OF).days for one in found.limits if one.surface is None]
    assert days == ([0, 1] if expected == "off" else [])
    yesterday = replace(facts, checkins=(CheckInFact(AS_OF - timedelta(days=1), **calm), CheckInFact(AS_OF, sting=1)))
    assert cast.concluded(yesterday, cast.numbers(cast.chance(0.9)), AS_OF).today.may_climb == "free"


@pytest.mark.parametrize(
    ("looks", "began"),
    [
        ((("5-25", "rimmed", False), ("5-30", "open", True)), "5-30"),
        ((("5-25", "rimmed", False), ("5-28", "rimmed", True)), "5-28"),
        ((("5-25", "closing", False), ("5-30", "open", True)), "5-20"),
        ((("5-25", "rimmed", False), ("5-30", "thinned", False)), "5-20"),
        ((("5-25", "rimmed", False), ("6-3", "open", True)), "5-20"),  # not seen yet
    ],
)
def test_damage_seen_open_after_it_was_seen_closed_begins_anew(
    looks: tuple[tuple[str, str, bool], ...], began: str
) -> None:
    seen = tuple(LookFact(day(on), stage, opens_on_pull=opens) for on, stage, opens in looks)
    fact = EpisodeFact("d1", "L-index-tip", "split", day("5-20"), depth="deep", looks=seen)
    found = Damage(fact, "open", None, None, None, None, AS_OF)
    assert found.began_on == day(began)
    last: date = day(began) + timedelta(days=3)
    assert not found.worth_a_try(last) and found.worth_a_try(last + timedelta(days=1))


def test_of_two_agents_on_a_day_the_one_that_the_skin_knows_stays() -> None:
    """One change at a time (common practice, no source). Two new ones, or two known ones, are both asked about."""
    tomorrow = AS_OF + timedelta(days=1)
    rows = [cast.planned(tomorrow, "dry", form) for form in ("aluminium salt", "methenamine spray")]
    known = [cast.done(AS_OF - timedelta(days=9), "dry", form) for form in ("aluminium salt", "methenamine spray")]

    def refused(*done: int) -> set[str]:
        care = (*(known[n] for n in done), *rows)
        facts = cast.athlete(AS_OF, entries=(cast.entry(EVENT),), care=care)
        found = cast.concluded(facts, cast.numbers(cast.chance(0.9)), AS_OF).refused
        return {one.form for one in found if one.class_ == "clash"}

    assert refused(0) == {"methenamine spray"} and refused(1) == {"aluminium salt"}
    assert refused() == refused(0, 1) == {"aluminium salt", "methenamine spray"}
