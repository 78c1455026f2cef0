"""Hand changed athletes to a queue from a thread of its own, so that no request waits or fails with it."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable, Sequence

log = logging.getLogger(__name__)
MOST = 20
"""More at once come from an import, not from check-ins; the sweep takes them in batches, behind what is fresh."""
KEPT = 1000
"""So many wait for a queue that is away; those beyond are found by the sweep."""
REST_S = 5.0
"""Pause after the queue was found away."""


class Publisher:
    """Collects athletes and publishes them, several in one task where several came in meanwhile.

    The thread starts with the first athlete, and again after a fork, which threads do not survive.
    """

    def __init__(self, publish: Callable[[Sequence[int]], None], rest_s: float = REST_S) -> None:
        self._publish, self._rest_s = publish, rest_s
        self._guard = threading.Condition()
        self._waiting: dict[int, None] = {}
        self._thread: threading.Thread | None = None

    def send(self, athlete_ids: Sequence[int]) -> None:
        """Take note of the athletes and return at once."""
        if len(athlete_ids) > MOST:
            return
        with self._guard:
            if len(self._waiting) < KEPT:
                self._waiting |= dict.fromkeys(athlete_ids)
            if self._thread is None or not self._thread.is_alive():
                self._thread = threading.Thread(target=self._loop, name="tenpads-publisher", daemon=True)
                self._thread.start()
            self._guard.notify()

    def _loop(self) -> None:
        while True:
            with self._guard:
                self._guard.wait_for(lambda: self._waiting)
                taken = list(self._waiting)[:MOST]
            try:
                self._publish(taken)
            except Exception as error:
                log.warning("the queue is away; the sweep finds what is not handed to it: %r", error)
                time.sleep(self._rest_s)
            else:
                with self._guard:
                    for athlete_id in taken:
                        self._waiting.pop(athlete_id, None)
