"""The Celery end: the same use-case, known names, and settings under which a dead worker loses nothing."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator
from typing import Any

import pytest
from django.conf import settings
from kombu.exceptions import EncodeError

from coaching.config.celery import app
from coaching.jobs import tasks
from coaching.usecases import recompute, sweeping


@pytest.fixture
def eager() -> Iterator[None]:
    """Tasks run where they are called; only here, for there is no worker."""
    app.conf.task_always_eager = app.conf.task_eager_propagates = True
    yield
    app.conf.task_always_eager = app.conf.task_eager_propagates = False


@pytest.fixture
def called(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    found: list[Any] = []
    monkeypatch.setattr(sweeping, "sweep", lambda owner: found.append(("all", owner)))
    monkeypatch.setattr(recompute, "drain_these", lambda ids, owner: found.append((ids, owner)))
    return found


def known() -> Any:
    app.loader.import_default_modules()
    return app.tasks


def test_the_sweep_is_the_use_case(eager: None, called: list[Any]) -> None:
    sent = known()["coaching.jobs.tasks.sweep"].apply_async()
    assert called == [("all", sent.id.replace("-", ""))]


def test_named_athletes_are_the_use_case_for_those(eager: None, called: list[Any]) -> None:
    known()["coaching.jobs.tasks.recompute_athletes"].apply_async(((3, 1),), task_id="t-1")
    assert called == [([3, 1], "t1")]


def test_the_tasks_are_of_our_application() -> None:
    assert tasks.sweep.app.main == "tenpads" and tasks.sweep.name in known()
    assert tasks.recompute_athletes.name in known()


def test_the_timetable_names_tasks_that_exist() -> None:
    timetable = app.conf.beat_schedule
    assert timetable and {entry["task"] for entry in timetable.values()} <= set(known())
    assert 0 < timetable["sweep"]["schedule"] <= 60 and 0 < timetable["forget-keys"]["schedule"] <= 3600
    assert not any("countdown" in entry.get("options", {}) for entry in timetable.values())


def test_the_settings_reach_the_application() -> None:
    """A task whose worker dies is handed out again, and one at a time lies in a worker's hands."""
    conf = app.conf
    assert conf.task_acks_late is True and conf.task_reject_on_worker_lost is True
    assert conf.worker_prefetch_multiplier == 1 and conf.broker_connection_max_retries is None
    assert 0 < conf.worker_max_tasks_per_child and 0 < conf.worker_max_memory_per_child
    assert (conf.task_serializer, list(conf.accept_content)) == ("json", ["json"])
    assert conf.task_always_eager is False and conf.timezone == "UTC" and conf.enable_utc


def test_no_task_outlives_half_of_the_visibility_timeout() -> None:
    """Else the queue hands it out again while it runs (Celery manual, Redis, caveats)."""
    half = app.conf.broker_transport_options["visibility_timeout"] / 2
    limits = [(app.conf.task_soft_time_limit, app.conf.task_time_limit)]
    limits += [(t.soft_time_limit, t.time_limit) for t in known().values() if t.time_limit]
    assert all(0 < soft < hard < half for soft, hard in limits)


def test_a_dead_workers_tasks_are_looked_for_every_ten_seconds() -> None:
    """The transport looks at every `throttle`-th turn of the interval only; ten and ten would be 100 s."""
    options = app.conf.broker_transport_options
    assert options["unacked_restore_interval"] * options["unacked_restore_throttle"] <= 10
    assert options["visibility_timeout"] == app.conf.visibility_timeout and options["health_check_interval"] <= 30


def test_the_sweep_does_not_stand_before_fresh_facts() -> None:
    def queue(name: str) -> str:
        return str(app.amqp.router.route({}, name)["queue"].name)

    assert set(app.amqp.queues) == {"fresh", "batch"}
    assert queue(tasks.sweep.name) == queue(tasks.forget_keys.name) == "batch"
    assert queue(tasks.recompute_athletes.name) == "fresh"


def test_nothing_is_sent_for_later_or_before_the_commit() -> None:
    """What is due later stands in the table: a countdown longer than the visibility timeout is handed out again and
    again (Celery manual, Redis, caveats); and a task sent before its commit finds nothing."""
    found = [
        (path.name, word)
        for folder in ("api", "athletes", "coaching")
        for path in (settings.ROOT / folder).rglob("*.py")
        for word in (".delay(", "countdown=", "eta=", ".retry(countdown")
        if word in path.read_text(encoding="utf-8")
    ]
    assert found == []


def test_time_that_is_up_is_nobodys_failure(eager: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """The pool's signal, in the midst of a computation that handles every ordinary error itself."""
    reached = []

    def handling(ids: Any, owner: str) -> None:
        try:
            os.kill(os.getpid(), tasks.SOFT)
            time.sleep(5)
        except Exception:
            reached.append("taken for an error")
        reached.append("went on")

    monkeypatch.setattr(recompute, "drain_these", handling)
    before = signal.getsignal(tasks.SOFT)
    tasks.recompute_athletes.apply_async(([1],))
    assert reached == [] and signal.getsignal(tasks.SOFT) == before


def test_results_are_kept_nowhere() -> None:
    assert app.conf.task_ignore_result and not app.conf.result_backend
    assert all(known()[name].ignore_result for name in known() if name.startswith("coaching."))


def test_only_plain_values_go_into_the_queue() -> None:
    with pytest.raises(EncodeError):
        with app.connection_for_write("memory://") as queue:
            tasks.recompute_athletes.apply_async(([object()],), connection=queue)
