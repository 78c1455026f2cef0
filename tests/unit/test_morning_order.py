"""Who stands at the top of the morning list."""

from __future__ import annotations

from dataclasses import replace

from athletes.records.access import AthleteRef
from coaching.usecases.listing import Concluded, Entry, Listed
from coaching.usecases.morning_list import _most_common, _need
from tests import shown_cast as cast

AT = cast.athlete().computed_at
assert AT is not None


def listed(name: str, medical: str = "none", *levels: str) -> Listed:
    """An athlete with that medical grade, entered once for each level."""
    ref = AthleteRef(1, name, name, "Europe/Vienna", None, False, cast.EVERYTHING)
    entries = tuple(Entry(level, cast.CUP.first_day, "{}", None) for level in levels)
    return Listed(ref, Concluded(cast.AS_OF, AT, medical, cast.AS_OF, "{}", "{}", "[]"), entries, stale=False)


def order(*athletes: Listed) -> list[str]:
    return [one.ref.code for one in sorted(athletes, key=_need)]


def test_whoever_needs_a_doctor_comes_before_every_level_also_without_an_event() -> None:
    fine, ill, worse = listed("fine", "none", "out-of-reach"), listed("ill", "today"), listed("worse", "emergency")
    assert order(fine, ill, worse) == ["worse", "ill", "fine"]


def test_a_mild_level_does_not_send_whoever_needs_a_doctor_to_the_end() -> None:
    act, mild = listed("act", "none", "act"), listed("mild", "emergency", "on-course")
    asked = listed("asked", "ask", "on-course")
    assert order(act, asked, mild) == ["mild", "act", "asked"]


def test_exceptions_come_first_and_those_without_an_event_or_a_conclusion_last() -> None:
    levels = [listed(level, "none", level) for level in ("on-course", "not-known", "act", "tight", "out-of-reach")]
    waiting = replace(listed("waiting"), concluded=None)
    found = order(waiting, listed("no event"), *levels)
    assert found == ["out-of-reach", "act", "tight", "not-known", "on-course", "no event", "waiting"]


def test_of_one_level_the_nearest_event_comes_first_and_then_the_name() -> None:
    near, far, other = listed("near", "none", "act"), listed("a far one", "none", "act"), listed("other", "none", "act")
    far = replace(far, entries=(replace(far.entries[0], first_day=cast.in_march(31)),))
    assert order(far, other, near) == ["near", "other", "a far one"]


def test_the_zone_of_the_list_is_that_of_most() -> None:
    assert _most_common(["Asia/Tokyo", "Europe/Vienna", "Europe/Vienna"]) == "Europe/Vienna"
    assert _most_common([]) == "UTC"
