"""Django's backend for PostgreSQL with a cheaper look at a kept connection.

Django asks `SELECT 1` at the first statement of each request. A server that ends a session says so on its socket and
closes it, so a socket with nothing to read is a session that stands, as far as `SELECT 1` could tell; where there is
something to read, Django asks as ever.
"""

from __future__ import annotations

import select
from typing import Any

from django.db.backends.postgresql import base


class DatabaseWrapper(base.DatabaseWrapper):
    def close_if_health_check_failed(self) -> None:
        if self.connection is not None and self.health_check_enabled and not self.health_check_done:
            self.health_check_done = _silent(self.connection)
        super().close_if_health_check_failed()


def _silent(connection: Any) -> bool:
    """Nothing waits to be read from the server: neither an answer nor the end of the session."""
    if connection.closed:
        return False
    try:
        return not select.select([connection.pgconn.socket], [], [], 0)[0]
    except (OSError, ValueError):  # a socket that is gone, or whose number is too high for this question
        return False
