"""The in-process runner: one daemon thread that computes what is waiting, woken by a nudge and by the clock.

It is the same sweeper that a worker on the scale path runs; here it lives in the web process, so that an installation
on one laptop needs no other service.
"""

from __future__ import annotations

import logging
import threading
from datetime import datetime

from django.db import close_old_connections

from athletes.records import row_scope
from coaching.usecases import forgetting, nudge, recompute, retention, weekly_fit, weigh_assumptions
from coaching.usecases.reminding import remind

log = logging.getLogger(__name__)
SWEEP_S = 15.0
"""How long a lost nudge can go unnoticed."""
WEIGH_S = 5.0
"""Fresh facts wait no longer than this for what a coach asked to be weighed."""


class Runner:
    """Start it once a process. `stop` ends it after the batch in work."""

    def __init__(self, sweep_s: float = SWEEP_S) -> None:
        self._sweep_s = sweep_s
        self._wake = threading.Event()
        self._ended = threading.Event()
        self._forgotten: datetime | None = None
        self._fitted: datetime | None = None
        self._kept: datetime | None = None
        self._erased: datetime | None = None
        self._reminded: datetime | None = None
        self._thread = threading.Thread(target=self._loop, name="tenpads-runner", daemon=True)

    def start(self) -> None:
        nudge.listen(self._wake.set)
        self._thread.start()

    def stop(self, timeout_s: float = 10.0) -> None:
        nudge.unlisten(self._wake.set)
        self._ended.set()
        self._wake.set()
        self._thread.join(timeout_s)

    def _loop(self) -> None:
        with row_scope.everybody():
            self._sweeps()

    def _sweeps(self) -> None:
        while True:
            self._wake.clear()
            if (
                self._ended.is_set()
            ):  # asked after the clearing, so that a stop in between is not slept through
                return
            weighed = 0
            try:
                recompute.drain()
                weighed = weigh_assumptions.weigh_due(WEIGH_S)
                self._reminded = remind.minutely(self._reminded)
                self._forgotten = forgetting.forget_keys(self._forgotten)
                self._fitted = weekly_fit.fit_hourly(self._fitted)
                self._erased = retention.hourly(self._erased)
                self._kept = retention.daily(self._kept)
            except (
                Exception
            ):  # the loop must outlive any one failure; the rows stay stale and are tried again
                log.exception("a sweep failed; it is tried again")
            finally:
                close_old_connections()
            self._wake.wait(0 if weighed else self._sweep_s)
