"""The way into the queue: one try, short patience. Nobody waits for it, and the sweep makes up for what it loses."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import Any

from celery import current_app

from coaching.jobs import tasks

PATIENCE_S = 2.0
IMPATIENT = {"socket_connect_timeout": PATIENCE_S, "socket_timeout": PATIENCE_S, "max_retries": 0}


class Way:
    """One connection, made at the first need and thrown away at the first failure. For one thread."""

    def __init__(self) -> None:
        self._connection: Any = None

    def publish(self, athlete_ids: Sequence[int]) -> None:
        """Put one task for these athletes into the queue for fresh facts; raises whatever the broker raises."""
        try:
            if self._connection is None:
                self._connection = current_app.connection_for_write(transport_options=IMPATIENT)
            tasks.recompute_athletes.apply_async((list(athlete_ids),), connection=self._connection, retry=False)
        except Exception:
            self._drop()
            raise

    def _drop(self) -> None:
        connection, self._connection = self._connection, None
        if connection is not None:
            with suppress(Exception):  # it is broken, and to say goodbye on it may fail
                connection.release()


publish = Way().publish
