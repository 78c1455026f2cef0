"""Each period of a job is begun by one scheduler, whichever night it is."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import time_machine

from coaching.ledger import periods
from coaching.ledger.models import Period
from coaching.usecases import recompute, sweeping
from tests import databases

# Europe/Vienna goes to summer time at 01:00 UTC on 28 March 2027 and back at 01:00 UTC on 31 October 2027: the last
# Sundays of March and October (directive 2000/84/EC).
NIGHTS = [datetime(2027, 3, 28, 0, 30, tzinfo=UTC), datetime(2027, 10, 31, 0, 30, tzinfo=UTC)]
AT = datetime(2027, 3, 11, 18, 0, 20, tzinfo=UTC)


@pytest.fixture(params=["SQLite", pytest.param("PostgreSQL", marks=pytest.mark.service)])
def shared(request: pytest.FixtureRequest, tmp_path: Path, django_db_blocker: Any) -> Iterator[str]:
    with django_db_blocker.unblock():
        with databases.filed(tmp_path) if request.param == "SQLite" else databases.served():
            yield request.param


def test_of_many_schedulers_at_once_one_begins(shared: str) -> None:
    start = periods.start_of(AT, 60)
    found = databases.at_once(lambda: periods.begin("sweep", start), 8)
    assert sorted(found) == [False] * 7 + [True]


@pytest.mark.django_db
@pytest.mark.parametrize("night", NIGHTS)
def test_two_schedulers_through_a_night_that_changes_the_clock(
    monkeypatch: pytest.MonkeyPatch, night: datetime
) -> None:
    """The second is a few seconds off; every minute of two hours has one sweep, and none is left out."""
    swept: list[datetime] = []
    monkeypatch.setattr(recompute, "drain", lambda **options: swept.append(recompute.clock.now()) or 0)
    for minute in range(120):
        for late_s in (1, 7):
            with time_machine.travel(night + timedelta(minutes=minute, seconds=late_s), tick=False):
                sweeping.sweep()
    assert [at.replace(second=0) for at in swept] == [night + timedelta(minutes=n) for n in range(120)]


@pytest.mark.django_db
def test_old_periods_are_not_kept() -> None:
    for days in range(5):
        assert periods.begin("sweep", periods.start_of(AT + timedelta(days=days), 60))
    assert Period.objects.count() == 3


@pytest.mark.django_db
def test_a_drain_tells_that_it_came_to_its_end() -> None:
    assert periods.last_ended(recompute.SWEEP) is None
    with time_machine.travel(AT, tick=False):
        recompute.drain()
    assert periods.last_ended(recompute.SWEEP) == AT
