"""Clashes of a season's calendar. Pauses and last days are the rulebook's own, whose sources it names itself; that a
competition and a trip cannot be on the same day needs none.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from coaching.rules import rulebook
from coaching.rules.season import NEAR_DAYS, AwaySpan, CarePlanned, Clash, EventSpan, clashes

BOOK = rulebook.current()
DAY = date(2027, 5, 8)
CUP = EventSpan("e1", "Cup", DAY, DAY + timedelta(days=1))
SPRAY, SIDES = "methenamine spray", "scrape finger sides"


def days(n: int) -> date:
    return DAY + timedelta(days=n)


def found(**told: object) -> tuple[Clash, ...]:
    whole = {"events": (CUP,), "away": (), "care": (), "rough": (), **told}
    return clashes(**whole, book=BOOK)  # type: ignore[arg-type]


def codes(**told: object) -> list[str]:
    return [one.code for one in found(**told)]


@pytest.mark.parametrize(
    ("start", "code"), [(0, "two-events"), (1, "two-events"), (2, "near-events"), (1 + NEAR_DAYS, "near-events"),
                        (2 + NEAR_DAYS, None)]
)  # fmt: skip
def test_two_events_meet_or_come_close(start: int, code: str | None) -> None:
    other = EventSpan("e2", "Trip", days(start), days(start + 3))
    for order in ((CUP, other), (other, CUP)):
        assert codes(events=order) == ([code] if code else [])


def test_days_between_are_counted_whole() -> None:
    (clash,) = found(events=(CUP, EventSpan("e2", "Trip", days(4), days(6))))
    assert (clash.days, clash.other, clash.day) == (2, "Trip", days(4))  # the 10th and the 11th lie between


@pytest.mark.parametrize(("kind", "hurts"), [("illness", True), ("water", True), ("travel", False), ("other", False)])
def test_an_absence_within_the_event_hurts_where_it_takes_the_skin(kind: str, hurts: bool) -> None:
    assert codes(away=(AwaySpan(kind, days(-3), days(0)),)) == (["away"] if hurts else [])
    assert codes(away=(AwaySpan(kind, days(-3), days(-1)),)) == []
    assert codes(away=(AwaySpan(kind, days(2), days(5)),)) == []


@pytest.mark.parametrize("lead", [-1, 0, 1])
def test_no_first_use_inside_the_pause_of_the_rulebook(lead: int) -> None:
    pause = BOOK.form(SPRAY).no_first_use_days  # type: ignore[union-attr]
    assert pause > 0
    run = CarePlanned("dry", SPRAY, days(-pause - lead), days(-pause - lead), known=False)
    assert ("first-use" in codes(care=(run,))) is (lead < 0)
    tolerated = CarePlanned("dry", SPRAY, days(-pause - lead), days(-pause - lead), known=True)
    assert "first-use" not in codes(care=(tolerated,))


@pytest.mark.parametrize("late", [0, 1])
def test_a_course_of_toughening_ends_before_its_last_day(late: int) -> None:
    stop = BOOK.form(SIDES).stop_days  # type: ignore[union-attr]
    assert stop > 0
    run = CarePlanned("toughen", SIDES, days(-20), days(late - stop), known=True)
    assert codes(care=(run,)) == (["stop"] if late else [])


def test_a_course_after_the_last_event_meets_nothing() -> None:
    assert codes(care=(CarePlanned("dry", SPRAY, days(5), days(9), known=False),)) == []


@pytest.mark.parametrize("before", [1, 2, 3, 4, 0, -1])
def test_sharp_rock_after_the_last_rough_day(before: int) -> None:
    last = BOOK.deadlines["rough-session-last"].days[0]
    assert codes(rough=(days(-before),)) == (["rough"] if 0 < before < last else [])


def test_nothing_planned_clashes_with_nothing() -> None:
    assert found(events=()) == () and found() == ()
