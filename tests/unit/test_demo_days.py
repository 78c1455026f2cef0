"""The demo on any day of the week: its squad was heard of this morning, and once it is old it says so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
import time_machine

from coaching.jobs import briefing
from coaching.usecases import set_up
from coaching.usecases.morning_list import morning_list
from tests import stored

ANCHOR = set_up.anchor_of(set_up.DEMO_BUNDLE)


@pytest.mark.parametrize("n", range(7))
def test_its_anchor_is_today_on_every_day_of_the_week(n: int) -> None:
    today = date(2026, 11, 23) + timedelta(days=n)
    assert ANCHOR + timedelta(days=set_up.shift_days(ANCHOR, today)) == today


@pytest.mark.django_db
@pytest.mark.parametrize(("days", "told"), [(2, False), (3, True), (9, True)])
def test_a_demo_of_which_nobody_answers_any_more_says_how_to_begin_anew(
    days: int, told: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    stored.share(stored.athletes(["a1", "a2"], stored.squad()))

    def silent(viewer: Any) -> Any:
        found = morning_list(viewer)
        last = [row.as_of - timedelta(days=days + n) for n, row in enumerate(found.rows)]
        rows = [replace(row, known_until=day) for row, day in zip(found.rows, last, strict=True)]
        return SimpleNamespace(rows=rows)

    monkeypatch.setattr(briefing, "morning_list", silent)
    with time_machine.travel(stored.NOW, tick=False):
        said = "\n".join(briefing.lines())
    assert (f"Nobody has answered for {days} days." in said and "--fresh" in said) == told
