"""Idempotency-Keys are dropped after their 30 days, by themselves, once a day whoever asks."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import time_machine

from athletes.records import repeats
from athletes.records.models import SentBefore
from coaching.config.celery import app
from coaching.jobs import runner
from coaching.jobs.runner import Runner
from coaching.ledger.models import Period
from coaching.usecases import forgetting, once, recompute
from tests import databases, stored

OLD = timedelta(days=repeats.KEPT_DAYS, seconds=1)


@pytest.fixture(params=["SQLite", pytest.param("PostgreSQL", marks=pytest.mark.service)])
def shared(request: pytest.FixtureRequest, tmp_path: Path, django_db_blocker: Any) -> Iterator[str]:
    with django_db_blocker.unblock():
        with databases.filed(tmp_path) if request.param == "SQLite" else databases.served():
            yield request.param


def kept(*made_at: datetime) -> None:
    account = stored.login("manager", stored.squad())
    for n, at in enumerate(made_at):
        SentBefore.objects.create(account=account, key=f"k-{n}", digest="0" * 64, made_at=at, status=201, body="{}")


def keys() -> set[str]:
    return set(SentBefore.objects.values_list("key", flat=True))


@pytest.mark.django_db
def test_what_is_past_its_time_goes_and_the_rest_stays() -> None:
    with time_machine.travel(stored.NOW, tick=False):
        kept(stored.NOW - OLD, stored.NOW - OLD + timedelta(seconds=2))
        forgetting.forget_keys()
    assert keys() == {"k-1"}


def test_of_many_schedulers_at_once_one_does_it(shared: str, monkeypatch: pytest.MonkeyPatch) -> None:
    done: list[int] = []
    monkeypatch.setattr(once, "forget_old", lambda: done.append(1))
    databases.at_once(forgetting.forget_keys, 8)
    assert done == [1] and Period.objects.filter(job=forgetting.JOB).count() == 1


@pytest.mark.django_db
def test_each_day_has_one_also_where_the_clocks_change(monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked every half hour for three days round the night of 28 March 2027, in which clocks in the European Union go
    forward (directive 2000/84/EC): days are counted in UTC.
    """
    done: list[datetime] = []
    monkeypatch.setattr(once, "forget_old", lambda: done.append(forgetting.clock.now()))
    for n in range(3 * 48):
        with time_machine.travel(datetime(2027, 3, 27, tzinfo=UTC) + timedelta(minutes=30 * n), tick=False):
            forgetting.forget_keys()
    assert [at.day for at in done] == [27, 28, 29]


@pytest.mark.django_db
def test_a_day_on_which_it_failed_is_begun_again(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails() -> int:
        raise RuntimeError("the disk is full")

    with time_machine.travel(stored.NOW, tick=False):
        kept(stored.NOW - OLD)
        with monkeypatch.context() as broken, pytest.raises(RuntimeError):
            broken.setattr(once, "forget_old", fails)
            forgetting.forget_keys()
        forgetting.forget_keys()
    assert keys() == set()


@pytest.mark.django_db
def test_the_task_of_the_timetable_does_it() -> None:
    name = app.conf.beat_schedule["forget-keys"]["task"]
    app.loader.import_default_modules()
    with time_machine.travel(stored.NOW, tick=False):
        kept(stored.NOW - OLD)
        app.tasks[name].apply()
    assert keys() == set()


def test_the_runner_in_the_web_process_does_it_and_asks_once_a_day(
    monkeypatch: pytest.MonkeyPatch, django_db_blocker: Any
) -> None:
    asked: list[datetime | None] = []

    def forget(settled: datetime | None) -> datetime:
        asked.append(settled)
        if len(asked) == 3:
            one._ended.set()
        return stored.NOW

    monkeypatch.setattr(recompute, "drain", lambda: 0)
    monkeypatch.setattr(runner.forgetting, "forget_keys", forget)
    one = Runner(0.01)
    with django_db_blocker.unblock():
        one.start()
        one._thread.join(20)
        one.stop()
    assert asked == [None, stored.NOW, stored.NOW]


@pytest.mark.django_db
def test_a_period_that_is_settled_costs_no_question(django_assert_num_queries: Any) -> None:
    with time_machine.travel(stored.NOW, tick=False):
        settled = forgetting.forget_keys()
        with django_assert_num_queries(0):
            assert forgetting.forget_keys(settled) == settled
