"""Celery's end of the same use-cases that the in-process runner calls. Tasks may run twice, late, or not at all."""

from __future__ import annotations

import logging
import signal
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from celery import shared_task

from coaching.usecases import forgetting, recompute, retention, sweeping, weekly_fit
from coaching.usecases.reminding import remind as reminding
from coaching.usecases.weigh_assumptions import weigh_due

log = logging.getLogger(__name__)
SOFT = signal.SIGUSR1
"""The signal by which the pool tells its child that the soft time limit is reached."""


@contextmanager
def _until_time_is_up() -> Iterator[None]:
    """At the soft limit the work is left as something that no handler of errors takes for an athlete's fault."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    kept = signal.signal(SOFT, _stop)
    try:
        yield
    except recompute.OutOfTime:
        log.warning("time is up; what was in hand waits for the next sweep")
    finally:
        signal.signal(SOFT, kept)


def _stop(*signal_and_frame: object) -> None:
    raise recompute.OutOfTime


def _owner(task: Any) -> str:
    """Name of this run and of its repetitions: a task handed out again takes over what its first run had in hand."""
    return str(task.request.id or "").replace("-", "")


@shared_task(bind=True, ignore_result=True)
def recompute_athletes(self: Any, athlete_ids: Sequence[int]) -> None:
    with _until_time_is_up():
        recompute.drain_these(list(athlete_ids), owner=_owner(self))


@shared_task(bind=True, ignore_result=True)
def sweep(self: Any) -> None:
    with _until_time_is_up():
        sweeping.sweep(owner=_owner(self))


@shared_task(ignore_result=True)
def forget_keys() -> None:
    forgetting.forget_keys()


@shared_task(ignore_result=True)
def keep_terms() -> None:
    retention.daily()


@shared_task(ignore_result=True)
def erase_due() -> None:
    retention.hourly()


@shared_task(ignore_result=True)
def remind() -> None:
    reminding.minutely()


@shared_task(ignore_result=True)
def fit_squads() -> None:
    with _until_time_is_up():
        weekly_fit.fit_due()


@shared_task(ignore_result=True)
def weigh_assumptions() -> None:
    with _until_time_is_up():
        weigh_due()
