"""A club's own ranges and wording: from their day on, with a reason, within limits; cautions and hard stops never."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import timedelta

import pytest

from coaching.rules import overrides, rulebook
from coaching.rules.decide import decide
from coaching.rules.overrides import Change, Value
from coaching.rules.rulebook import FormRule, RulebookError
from tests import cast
from tests.cast import day

FROM = day("5-1")
BOOK = rulebook.current()
CREAM = "dry.methenamine-cream"
HARD = {
    "caution", "source", "not_on", "needs_stage", "not_deep", "sensitivities", "contraindications", "minimum_age",
    "signoff_under_age", "zones", "ingredient", "strict_part", "parts", "not_for_kinds", "verb", "form", "instead",
}  # fmt: skip


def change(key: str, value: Value, rule: str = CREAM, **said: object) -> Change:
    return replace(Change(rule, key, value, FROM, "our own record"), **said)  # type: ignore[arg-type]


def test_a_change_holds_from_its_day_on_and_the_version_tells_it() -> None:
    longer = change("no_first_use_days", 21)
    before = overrides.apply(BOOK, [longer], FROM - timedelta(days=1))
    after = overrides.apply(BOOK, [longer], FROM)
    assert before is BOOK
    assert after.forms["methenamine cream"].no_first_use_days == 21 and after.version != BOOK.version
    assert len(after.version) <= 32  # the ledger's column
    assert after.forms["methenamine spray"] == BOOK.forms["methenamine spray"]


def test_the_later_change_of_a_key_stands_whatever_their_order() -> None:
    first, later = change("stop_days", 5), change("stop_days", 7, from_day=FROM + timedelta(days=3))
    for told in ([first, later], [later, first]):
        assert overrides.apply(BOOK, told, day("6-1")).forms["methenamine cream"].stop_days == 7


def test_what_a_club_decided_moves_the_dates() -> None:
    event = day("6-20")
    row = cast.planned(event - timedelta(days=16), "dry", "methenamine cream", part="night")
    facts = cast.athlete(day("5-20"), care=(row,), entries=(cast.entry(event),))
    figures = cast.numbers(cast.chance(0.7))
    for book, refused in ((BOOK, []), (overrides.apply(BOOK, [change("no_first_use_days", 21)], FROM), ["timing"])):
        assert [one.class_ for one in decide(facts, figures, day("5-20"), book).refused] == refused


@pytest.mark.parametrize("key", sorted(HARD))
def test_no_caution_and_no_hard_stop_is_a_clubs_to_change(key: str) -> None:
    assert key not in overrides.limits()
    for rule in (*BOOK.forms.values(), *BOOK.deadlines.values()):
        assert key not in overrides.keys_of(rule)
        with pytest.raises(RulebookError, match="not for a club to change"):
            overrides.checked(BOOK, change(key, 3, rule.rule))


def test_every_key_is_either_changeable_or_known_not_to_be() -> None:
    """A new key of an entry has to be put on one side."""
    rest = {one.name for one in fields(FormRule)} - HARD - set(overrides.limits())
    assert rest == {"strengths", "goes_on_strengths", "climbing_day", "needs_after", "list_check"}


@pytest.mark.parametrize(
    ("key", "least", "most"),
    [("no_first_use_days", 7, 60), ("stop_days", 1, 30), ("trial_days", 0, 14), ("settle_days", 0, 14)],
)
def test_limits_hold_on_both_sides(key: str, least: int, most: int) -> None:
    for value in (least, most):
        assert overrides.checked(BOOK, change(key, value))
    for wrong in (least - 1, most + 1, True, "7", (7, 9)):
        with pytest.raises(RulebookError):
            overrides.checked(BOOK, change(key, wrong))


@pytest.mark.parametrize("wrong", [(9, 2), (0, 15), (2,), 4, "2"])
def test_a_range_is_two_whole_numbers_in_order_within_limits(wrong: Value) -> None:
    assert overrides.checked(BOOK, change("uses_a_week", (1, 14)))
    with pytest.raises(RulebookError):
        overrides.checked(BOOK, change("uses_a_week", wrong))


@pytest.mark.parametrize("reason", ["", "  "])
def test_a_change_without_a_reason_is_none(reason: str) -> None:
    with pytest.raises(RulebookError, match="reason is missing"):
        overrides.checked(BOOK, change("stop_days", 5, reason=reason))


def test_wording_and_the_list_check_are_text_and_the_check_has_a_day() -> None:
    assert overrides.checked(BOOK, change("how", "Thin, at bedtime, on the pads only."))
    assert overrides.checked(BOOK, change("list_checked_on", "2027-02-01"))
    for key, wrong in (("how", "thin"), ("list_checked_on", "2027-13-01"), ("list_checked_on", "yesterday.")):
        with pytest.raises(RulebookError):
            overrides.checked(BOOK, change(key, wrong))
    with pytest.raises(RulebookError, match="unknown entry"):
        overrides.checked(BOOK, change("how", "x" * 30, "dry.tea"))
