"""The Celery end: the same use-case, known names, and settings under which a dead worker loses nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from kombu.exceptions import EncodeError

from coaching.config.celery import app
from coaching.jobs import tasks
from coaching.usecases import recompute


@pytest.fixture
def eager() -> Iterator[None]:
    """Tasks run where they are called; only here, for there is no worker."""
    app.conf.task_always_eager = app.conf.task_eager_propagates = True
    yield
    app.conf.task_always_eager = app.conf.task_eager_propagates = False


@pytest.fixture
def called(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    found: list[Any] = []
    monkeypatch.setattr(recompute, "drain", lambda: found.append("all"))
    monkeypatch.setattr(recompute, "drain_these", found.append)
    return found


def known() -> Any:
    app.loader.import_default_modules()
    return app.tasks


def test_the_sweep_is_the_use_case(eager: None, called: list[Any]) -> None:
    assert known()["coaching.jobs.tasks.sweep"].delay() is not None
    assert called == ["all"]


def test_named_athletes_are_the_use_case_for_those(eager: None, called: list[Any]) -> None:
    known()["coaching.jobs.tasks.recompute_athletes"].delay((3, 1))
    assert called == [[3, 1]]


def test_the_tasks_are_of_our_application() -> None:
    assert tasks.sweep.app.main == "tenpads" and tasks.sweep.name in known()
    assert tasks.recompute_athletes.name in known()


def test_the_timetable_names_tasks_that_exist() -> None:
    timetable = app.conf.beat_schedule
    assert timetable and {entry["task"] for entry in timetable.values()} <= set(known())
    assert all(0 < entry["schedule"] <= 60 for entry in timetable.values())


def test_the_settings_reach_the_application() -> None:
    """A task whose worker dies is handed out again, and one at a time lies in a worker's hands."""
    conf = app.conf
    assert conf.task_acks_late is True and conf.task_reject_on_worker_lost is True
    assert conf.worker_prefetch_multiplier == 1
    assert (conf.task_serializer, list(conf.accept_content)) == ("json", ["json"])
    assert conf.task_always_eager is False and conf.timezone == "UTC" and conf.enable_utc


def test_no_task_outlives_half_of_the_visibility_timeout() -> None:
    """Else the queue hands it out again while it runs (Celery manual, Redis, caveats)."""
    half = app.conf.broker_transport_options["visibility_timeout"] / 2
    limits = [(app.conf.task_soft_time_limit, app.conf.task_time_limit)]
    limits += [(t.soft_time_limit, t.time_limit) for t in known().values() if t.time_limit]
    assert all(0 < soft < hard < half for soft, hard in limits)


def test_results_are_kept_nowhere() -> None:
    assert all(known()[name].ignore_result for name in known() if name.startswith("coaching."))


def test_only_plain_values_go_into_the_queue() -> None:
    with pytest.raises(EncodeError):
        with app.connection_for_write("memory://") as queue:
            tasks.recompute_athletes.apply_async(([object()],), connection=queue)
