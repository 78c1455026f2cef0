"""Callers that work at once, each in a thread of its own with what belongs to that thread."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from typing import Any

from django.db import connections

Job = Callable[[], object]


class Callers:
    """Threads that stay, so that neither they nor their connections are made while something is timed."""

    def __init__(self, many: int) -> None:
        self._ways: list[queue.SimpleQueue[Job | None]] = [queue.SimpleQueue() for _ in range(many)]
        self._done: queue.SimpleQueue[BaseException | None] = queue.SimpleQueue()
        self._threads = [threading.Thread(target=self._work, args=(way,), daemon=True) for way in self._ways]
        for thread in self._threads:
            thread.start()

    def _work(self, way: queue.SimpleQueue[Job | None]) -> None:
        try:
            while (job := way.get()) is not None:
                self._done.put(_outcome(job))
        finally:
            connections.close_all()

    def all_do(self, jobs: list[Job]) -> None:
        """Each caller does the job of its place; returns when all have. Raises the first error of any."""
        for way, job in zip(self._ways, jobs, strict=True):
            way.put(job)
        errors = [error for error in [self._done.get() for _ in jobs] if error is not None]
        if errors:
            raise errors[0]

    def go_home(self) -> None:
        """End the threads and their connections."""
        for way in self._ways:
            way.put(None)
        for thread in self._threads:
            thread.join()


def _outcome(job: Job) -> BaseException | Any:
    try:
        job()
    except BaseException as error:  # handed to whoever waits
        return error
    return None
