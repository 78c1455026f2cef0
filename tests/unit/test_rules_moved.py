"""A last day that moved is told with the day it was and with its cause; one that stands says nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from coaching.rules import moved
from coaching.rules.conclusions import Deadline
from coaching.wording import deadlines

AS_OF = date(2027, 3, 11)
LOOK = Deadline("look", None, date(2027, 3, 17), 6, "open", "deadline.look", site="L-index-tip")
CLOSES = Deadline("entry", None, date(2027, 3, 18), 7, "open", "deadline.entry")
START = Deadline("agent-start", None, date(2027, 3, 16), 5, "open", "dry.iontophoresis", form="iontophoresis")
REST = Deadline("rest-start", None, date(2027, 3, 12), 1, "due", "deadline.rest-start", site="L-index-tip")


@pytest.mark.parametrize(
    ("now", "event", "rules", "cause"),
    [
        (LOOK, False, False, "look"), (CLOSES, False, False, "closing"), (START, False, False, "care"),
        (REST, False, False, "pink"), (LOOK, True, False, "event"), (START, True, True, "event"),
        (START, False, True, "rules"), (CLOSES, True, True, "closing"),
    ],
)  # fmt: skip
def test_the_cause_is_the_fact_that_the_day_hangs_on(now: Deadline, event: bool, rules: bool, cause: str) -> None:
    was = replace(now, latest=date(2027, 3, 14))
    (one,) = moved.since([now], [was], event_moved=event, rules_changed=rules)
    assert (one.was, one.moved_by, one.latest) == (date(2027, 3, 14), cause, now.latest)
    assert "Sun 14" in deadlines.moved(one, AS_OF) and str(deadlines.MOVED_BY[cause]) in deadlines.moved(one, AS_OF)


def test_what_stands_is_new_or_has_gone_says_nothing() -> None:
    same = moved.since([LOOK, START], [LOOK, CLOSES], event_moved=True, rules_changed=True)
    assert same == (LOOK, START) and deadlines.moved(LOOK, AS_OF) == ""


def test_of_two_looks_each_is_told_against_its_own_and_a_third_leaves_both_alone() -> None:
    first = replace(LOOK, latest=date(2027, 3, 15))
    later = replace(first, latest=date(2027, 3, 16))
    found = moved.since([later, LOOK], [first, LOOK], event_moved=False, rules_changed=False)
    assert [one.was for one in found] == [first.latest, None]
    three = [first, later, LOOK]
    assert moved.since(three, [first, LOOK], event_moved=False, rules_changed=False) == tuple(three)
