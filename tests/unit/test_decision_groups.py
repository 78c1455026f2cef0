"""Decisions by athlete: the nearest of each decides the order, and what is due by tomorrow lies open."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from django.template.loader import render_to_string

from coaching.pages.decision_part import DecisionLine, groups
from coaching.pages.decision_views import DecisionsPage
from coaching.usecases.answer_decision import about
from coaching.usecases.waiting import Waiting
from tests import shown_cast as cast


def waiting(code: str, days: int, kind: str = "look") -> Waiting:
    """One decision about an athlete, so many days from today."""
    day = cast.AS_OF + timedelta(days=days)
    row = replace(cast.athlete(), code=code, name=f"Athlete {code}")
    one = replace(next(d for d in cast.deadlines() if d.kind == kind), latest=day, slack_days=days)
    return Waiting(row, row.entries[0], kind, day, about(one), one)


def test_each_athlete_is_one_group_in_the_order_of_what_is_nearest() -> None:
    found = [waiting("a1", 1), waiting("b1", 2), waiting("a1", 3, "taped-try"), waiting("c1", 3)]
    made = groups([DecisionLine(one) for one in found])
    assert [(one.code, len(one.lines)) for one in made] == [("a1", 2), ("b1", 1), ("c1", 1)]
    assert made[0].said.startswith("2, the first by")


@pytest.mark.parametrize(("days", "expected"), [(-1, True), (0, True), (1, True), (2, False)])
def test_what_is_due_by_tomorrow_lies_open(days: int, expected: bool) -> None:
    (one,) = groups([DecisionLine(waiting("a1", days))])
    assert one.open is expected


def test_what_could_not_be_taken_lies_open() -> None:
    (one,) = groups([DecisionLine(waiting("a1", 5), wrong="must be said")])
    assert one.open


def test_the_page_says_how_many_about_how_many_and_why_of_each() -> None:
    found = (waiting("a1", 1), waiting("a1", 3, "taped-try"), waiting("b1", 5))
    page = DecisionsPage(found)
    assert page.headline == "3 decisions wait for you, about 2 athletes"
    html = render_to_string("coaching/decisions.html", {"page": page, "here": "decisions"})
    assert html.count('class="decision-group"') == 2 and html.count('class="decision-group" open') == 1
    assert html.count('#deadline.look"') == 2 and html.count('#deadline.taped-try"') == 1
