"""What the operator reads of what was given up, and how it is tried again."""

from __future__ import annotations

from datetime import timedelta
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.core.management import CommandError, call_command

from athletes.records.models import Athlete
from coaching.ledger.models import Conclusion, Footing, PackedHistory, Staleness
from coaching.ledger.staleness import ATTEMPTS
from coaching.usecases import recompute
from tests import bundles
from tests.bundles import ATHLETE, NOW

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def squad(tmp_path: Path) -> dict[str, int]:
    """Five athletes: one current, the others late in each of the ways there are."""
    bundles.load(tmp_path / "b", {"athletes": [ATHLETE | {"athlete_id": f"a{n}"} for n in range(5)]})
    keys = dict(Athlete.objects.values_list("code", "id"))
    with time_machine.travel(NOW, tick=False):
        recompute.drain()
    late(keys["a1"], attempts=ATTEMPTS, failure="ZeroDivisionError('of a1')\nmore")
    late(keys["a2"], attempts=ATTEMPTS)
    late(keys["a3"], attempts=1, failure="KeyError('x')", claimed_until=NOW + timedelta(minutes=1))
    late(keys["a4"])
    return keys


def late(athlete_id: int, **columns: Any) -> None:
    Staleness.objects.filter(athlete_id=athlete_id).update(input_rev=9, raised_at=NOW, **columns)


def said(*words: str) -> str:
    out = StringIO()
    with time_machine.travel(NOW + timedelta(seconds=30), tick=False):
        call_command(*words, stdout=out)
    return out.getvalue()


def test_who_waits_is_listed_with_state_and_reason() -> None:
    found = said("waiting")
    lines = dict(line.split(maxsplit=1) for line in found.splitlines())
    assert "given up, attempts: 5  ZeroDivisionError('of a1')" in lines["a1"] and "more" not in lines["a1"]
    assert "its process ended each time" in lines["a2"] and "failed, is tried again" in lines["a3"]
    assert "since 2027-03-11 18:00:00 UTC  waits, attempts: 0" in lines["a4"] and "a0" not in lines
    assert "4 out of date, 2 of them given up" in found and "the last sweep ended 30 s ago" in found


def test_one_athlete_is_tried_again(squad: dict[str, int]) -> None:
    assert "1 athlete is tried again" in said("retry", "--athlete", "a1")
    assert Staleness.objects.get(athlete_id=squad["a1"]).attempts == 0
    assert Staleness.objects.get(athlete_id=squad["a2"]).attempts == ATTEMPTS


def test_all_are_tried_again_and_then_current() -> None:
    assert "3 athletes are tried again" in said("retry", "--all")
    with time_machine.travel(NOW, tick=False):
        assert recompute.drain() == 4
    assert "0 out of date, 0 of them given up" in said("waiting")


def test_an_unknown_athlete_is_refused() -> None:
    with pytest.raises(CommandError, match="not in the records"):
        said("retry", "--athlete", "nobody")


def test_whom_to_try_must_be_said() -> None:
    with pytest.raises(CommandError):
        said("retry")


def test_everything_derived_is_made_anew_and_says_the_same(squad: dict[str, int]) -> None:
    """The pass after `rebuild` starts from the records alone; what stood before it stays until then."""
    before = {row.athlete_id: row.body for row in Conclusion.objects.all()}
    PackedHistory.objects.update(packed=b"no history at all")
    assert "athletes wait for a pass" in (found := said("rebuild")) and not found.startswith("0 ")
    assert not PackedHistory.objects.exists() and not Footing.objects.exists()
    assert len(said("waiting").splitlines()) == len(squad) + 2
    assert {row.athlete_id: row.body for row in Conclusion.objects.all()} == before
    with time_machine.travel(NOW + timedelta(minutes=2), tick=False):
        assert recompute.drain() == len(squad)
    assert {row.athlete_id: row.body for row in Conclusion.objects.all()} == before
    assert PackedHistory.objects.count() == len(squad)
