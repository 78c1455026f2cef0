"""Plain calls: every verdict and status has words, and nothing unknown or unshared reads as good news."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from athletes.records import choices
from athletes.records.queries_events import EventAir
from coaching.rules.conclusions import Limit, Reason, Today
from coaching.usecases.shown_event import EntryRow
from coaching.wording import calls, event_words
from coaching.wording.event_sheet import sheet_of
from tests import event_cast as events
from tests import shown_cast as cast
from tests.contract.test_every_code_has_words import DEADLINES, MAY_CLIMB

LEVEL = frozenset({"level"})


def line(found: EntryRow) -> dict[str, str]:
    (row,) = sheet_of(events.page([found])).rows
    return {
        "call": row.call,
        "protect": row.protect,
        "most": row.most,
        "stop": row.stop,
        "hands": row.hands_note,
    }


def test_every_code_has_words() -> None:
    assert set(calls.CALL_OF) == MAY_CLIMB
    withheld = {"ask"}  # of whoever is told neither answers nor damage
    assert set(calls.CALLS) == {*calls.CALL_OF.values(), *withheld} == set(calls.STOPS) == set(calls.COUNTED)
    assert set(calls.LOOKS) < DEADLINES and all(str(words) for words in calls.LOOKS.values())
    assert set(calls.STATUSES) == set(choices.ENTRY_STATUSES)
    assert len({str(words) for words in calls.CALLS.values()}) == len(calls.CALLS)


@pytest.mark.parametrize("verdict", ["not-known", "off", "medical"])
def test_nobody_who_may_not_start_is_given_tries(verdict: str) -> None:
    said = line(events.row(today=Today(verdict), limits=(Limit(cast.AS_OF, "wood", 30, 6),), steps=()))
    assert said["call"] in ("not known", "not today") and said["most"] == ""
    assert said["stop"] in ("does not start before a look", "does not warm up")


def test_silence_is_not_known_and_never_none() -> None:
    silent = events.row(
        today=Today("not-known"), picture=replace(cast.picture(), damage=(), marks=()), steps=()
    )
    assert line(silent)["protect"] == line(silent)["hands"] == "not known"


def test_what_is_not_shared_is_said_and_not_taken_for_sound() -> None:
    said = line(events.row(shared=LEVEL, picture=None, steps=(), limits=(), today=Today("not-those-holds")))
    assert said["protect"] == said["most"] == "not shared with you" and said["hands"] == ""


def test_a_sign_off_is_not_called_a_look() -> None:
    signed = replace(cast.deadlines()[1], kind="medical-signoff", site=None)
    found = events.row(entries=(replace(cast.entry("tight", ()), deadlines=(signed,)),))
    (row,) = sheet_of(events.page([found])).rows
    assert row.look == "sign-off Mon 15" and "look" not in row.call_note


def test_the_limit_of_the_day_of_the_event_comes_before_that_of_today() -> None:
    limits = (
        Limit(cast.AS_OF, "wood", 20, 3),
        Limit(cast.CUP.first_day, "plastic", 40, 8, "look:2027-03-17"),
    )
    said = line(events.row(limits=limits))["most"]
    assert said.startswith(
        "Sat 20: no rougher than plastic; at most 40 min; at most 8 hard tries, only if the look"
    )


def test_the_pain_limit_of_the_damage_is_the_stop() -> None:
    reason = Reason("split", cast.CREASE, None, {"pain_limit": 3})
    assert line(events.row(entries=(cast.entry("act", (reason,)),)))["stop"].endswith("pain passes 3 of 10")


def test_the_withdrawn_are_listed_and_not_asked_to_climb() -> None:
    page = events.page([events.row(status="withdrawn"), events.free()])
    sheet = sheet_of(page)
    assert sheet.rows[0].call == "not today" and sheet.counts == "1 to start: 1 may climb."
    assert not any("Adaeze" in names for _, names in sheet.looks)


def test_looks_stand_in_the_order_of_time_with_their_day() -> None:
    looks = sheet_of(events.page([events.row(), events.row("Kwame", "a02")])).looks
    assert [day for day, _ in looks] == ["Mon 15", "Wed 17"]
    assert looks[0][1] == "Adaeze and Kwame: look, by someone's own eyes"


@pytest.mark.parametrize(
    ("dew_points_c", "said"),
    [
        ((9.2, 9.9), "much the same"),
        ((12.0, 16.4), "up to 7 °C above: damper"),
        ((-3.0, 4.0), "up to 12 °C below: drier"),
    ],
)
def test_the_air_is_told_against_home(dew_points_c: tuple[float, ...], said: str) -> None:
    assert said in event_words.against_home(events.air(*dew_points_c))


def test_air_that_is_not_known_is_said_to_be_so() -> None:
    nothing = EventAir((), None)
    assert event_words.against_home(nothing) == "Dew point at home: not known."
    assert event_words.air_source(nothing, cast.AS_OF) == "Air at the place: not known yet."


def test_when_entries_close_has_the_zone_of_the_event() -> None:
    closes = replace(cast.CUP, entry_deadline=datetime(2027, 3, 18, 18, tzinfo=events.ZONE))
    assert (
        event_words.closes(closes, cast.AS_OF)
        == "Entry changes close Thu 18, 18:00 (Europe/Stockholm), in 7 days."
    )
    over = replace(closes, entry_deadline=datetime(2027, 3, 9, 18, tzinfo=UTC))
    assert event_words.closes(over, cast.AS_OF).startswith("Entry changes closed Tue 9, 18:00")
