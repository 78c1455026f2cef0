"""Who stands at the top of the morning list."""

from __future__ import annotations

from dataclasses import replace

from coaching.usecases.morning_list import _most_common, _need
from tests import shown_cast as cast


def test_whoever_needs_a_doctor_comes_before_every_level_also_without_an_event() -> None:
    fine = cast.athlete()
    ill = replace(fine, code="ill", medical="today", entries=())
    worse = replace(fine, code="worse", medical="emergency", entries=())
    assert [row.code for row in sorted([fine, ill, worse], key=_need)] == ["worse", "ill", fine.code]


def test_the_zone_of_the_list_is_that_of_most() -> None:
    assert _most_common(["Asia/Tokyo", "Europe/Vienna", "Europe/Vienna"]) == "Europe/Vienna"
    assert _most_common([]) == "UTC"
