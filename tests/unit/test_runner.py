"""The thread that computes beside the pages: woken by a nudge, by the clock, and not ended by a failure."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction

from athletes.records.models import Athlete
from athletes.records.viewer import Grant, Viewer
from coaching.jobs import serving
from coaching.jobs.runner import SWEEP_S, Runner
from coaching.ledger import staleness
from coaching.ledger.models import Conclusion, Staleness
from coaching.usecases import clock, nudge, recompute
from coaching.usecases.answers import CheckInAnswers
from coaching.usecases.record_checkin import record_checkin
from tests import bundles, databases

LONG_S = 600.0
"""A sweep that no test waits for: what happens sooner was not the clock's doing."""
PATIENCE_S = 20.0


class Sweeps:
    """Stands for the use-case: counts its calls and lets a test wait for them."""

    def __init__(self, failing: bool = False) -> None:
        self._seen, self._failing = threading.Semaphore(0), failing

    def __call__(self) -> int:
        self._seen.release()
        if self._failing:
            raise RuntimeError("the disk is full")
        return 0

    def another(self, within_s: float = PATIENCE_S) -> bool:
        return self._seen.acquire(timeout=within_s)


@pytest.fixture
def started(django_db_blocker: Any) -> Iterator[Callable[[float], Runner]]:
    runners: list[Runner] = []

    def start(sweep_s: float) -> Runner:
        runners.append(Runner(sweep_s))
        runners[-1].start()
        return runners[-1]

    with django_db_blocker.unblock():
        yield start
        for runner in runners:
            runner.stop()


def sweeps(monkeypatch: pytest.MonkeyPatch, failing: bool = False) -> Sweeps:
    found = Sweeps(failing)
    monkeypatch.setattr(recompute, "drain", found)
    return found


def alive() -> int:
    return sum(thread.name == "tenpads-runner" for thread in threading.enumerate())


def until(true: Callable[[], bool]) -> bool:
    end = time.monotonic() + PATIENCE_S
    while not true() and time.monotonic() < end:
        time.sleep(0.02)
    return true()


def test_it_sweeps_once_at_its_start_and_then_waits(monkeypatch: pytest.MonkeyPatch, started: Any) -> None:
    seen = sweeps(monkeypatch)
    started(LONG_S)
    assert seen.another() and not seen.another(within_s=0.3)


def test_a_nudge_wakes_it_at_once(monkeypatch: pytest.MonkeyPatch, started: Any) -> None:
    seen = sweeps(monkeypatch)
    started(LONG_S)
    assert seen.another()
    nudge._now((1,))
    assert seen.another()


def test_a_nudge_during_a_sweep_is_not_lost(monkeypatch: pytest.MonkeyPatch, started: Any) -> None:
    seen: list[int] = []

    def nudged_once() -> int:
        seen.append(1)
        if len(seen) == 1:
            nudge._now((1,))
        return 0

    monkeypatch.setattr(recompute, "drain", nudged_once)
    started(LONG_S)
    assert until(lambda: len(seen) == 2)


def test_without_a_nudge_the_clock_finds_the_work(monkeypatch: pytest.MonkeyPatch, started: Any) -> None:
    seen = sweeps(monkeypatch)
    started(0.05)
    assert all(seen.another() for _ in range(4))
    assert 0 < SWEEP_S <= 60


def test_a_failing_sweep_does_not_end_the_loop(monkeypatch: pytest.MonkeyPatch, started: Any) -> None:
    seen = sweeps(monkeypatch, failing=True)
    started(0.05)
    assert all(seen.another() for _ in range(3)) and alive() == 1


def test_stopping_ends_the_thread_and_its_listening(monkeypatch: pytest.MonkeyPatch, started: Any) -> None:
    seen, listeners = sweeps(monkeypatch), len(nudge._listeners)
    runner = started(LONG_S)
    assert seen.another() and len(nudge._listeners) == listeners + 1
    runner.stop()
    assert alive() == 0 and len(nudge._listeners) == listeners


def test_a_stop_between_two_turns_is_not_slept_through(monkeypatch: pytest.MonkeyPatch, started: Any) -> None:
    """Told to stop just before the loop forgets what woke it, it does not wait out a sweep first."""
    sweeps(monkeypatch)
    runner = Runner(LONG_S)
    forget = runner._wake.clear

    def told_to_stop_first() -> None:
        runner._ended.set()
        runner._wake.set()
        forget()

    monkeypatch.setattr(runner._wake, "clear", told_to_stop_first)
    runner._thread.start()
    runner._thread.join(2.0)
    assert not runner._thread.is_alive()


def test_a_check_in_is_concluded_soon_after_it_is_stored(
    tmp_path: Path, started: Any, django_db_blocker: Any
) -> None:
    """The real use-case over a database file: stored in this thread, concluded in the runner's."""
    with django_db_blocker.unblock(), databases.filed(tmp_path):
        bundles.load(tmp_path / "b", {})
        runner = started(LONG_S)
        assert until(lambda: not staleness.waiting(clock.now()))
        today = clock.local_day(clock.now(), "Europe/Vienna")
        themself = Viewer(None, None, today, (Grant("athlete", None, Athlete.objects.get().id),))
        began = time.monotonic()
        record_checkin(themself, "a1", CheckInAnswers(today, reserve=6))
        assert until(lambda: Conclusion.objects.filter(known_until=today).exists())
        assert time.monotonic() - began < SWEEP_S / 2
        runner.stop()


def test_what_was_stored_without_a_nudge_is_found(
    tmp_path: Path, started: Any, django_db_blocker: Any
) -> None:
    with django_db_blocker.unblock(), databases.filed(tmp_path):
        bundles.load(tmp_path / "b", {})
        runner = started(0.1)
        assert until(lambda: not staleness.waiting(clock.now()))
        with transaction.atomic():
            staleness.raise_for(Staleness.objects.values_list("athlete_id", flat=True), clock.now())
        assert until(lambda: set(Staleness.objects.values_list("computed_rev", flat=True)) == {2})
        runner.stop()


def test_a_starting_server_takes_over_what_a_dead_one_had_in_hand(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, django_db_blocker: Any
) -> None:
    monkeypatch.setattr(Runner, "start", lambda self: None)
    with django_db_blocker.unblock(), databases.filed(tmp_path):
        bundles.load(tmp_path / "b", {})
        assert staleness.claim(clock.now(), 9) and not staleness.claim(clock.now(), 9)
        serving._start_runner()
        assert staleness.claim(clock.now(), 9)


def test_a_port_in_use_is_refused_and_passed_over() -> None:
    port = serving.free_port(None)
    with serving.socket.socket() as taken:
        taken.bind((serving.HOST, port))
        taken.listen()
        with pytest.raises(serving.PortTaken, match=str(port)):
            serving.free_port(port)
        assert serving.free_port(None) != port
