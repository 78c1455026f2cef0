"""Django's backend for PostgreSQL with a cheaper look at a kept connection, and with each statement in its scope.

Django asks `SELECT 1` at the first statement of each request. A server that ends a session says so on its socket and
closes it, so a socket with nothing to read is a session that stands, as far as `SELECT 1` could tell; where there is
something to read, Django asks as ever.

A statement that names a guarded table (`records.row_lock`) is sent behind the scope of whoever runs it, in the same
message. Outside of a transaction both are one of their own, so a kept connection keeps nothing of it, whatever fails.
"""

from __future__ import annotations

import select
from collections.abc import Iterable
from contextlib import nullcontext
from typing import Any

from django.db.backends.postgresql import base

from athletes.records import row_lock, row_scope


class ScopedCursor(base.Cursor):
    """Statements over guarded tables with their scope before them; what comes back is the statement's own answer."""

    def execute(self, query: Any, params: Any = None, **options: Any) -> Any:
        if not isinstance(query, str) or not row_lock.names_guarded(query):
            return super().execute(query, params, **options)
        super().execute(*row_scope.before(query, params), **options)
        while self.nextset():
            pass
        return self

    def executemany(self, query: Any, params_seq: Iterable[Any], **options: Any) -> None:
        """The scope goes before the whole batch, in a transaction with it."""
        if not isinstance(query, str) or not row_lock.names_guarded(query):
            return super().executemany(query, params_seq, **options)
        with self.connection.transaction() if self.connection.autocommit else nullcontext():
            super().execute(*row_scope.before("SELECT 1", None))
            super().executemany(query, params_seq, **options)


class Operations(base.DatabaseOperations):
    """A log of queries shows the statement as it was asked, without the scope before it."""

    def last_executed_query(self, cursor: Any, sql: Any, params: Any) -> Any:
        return row_scope.asked(super().last_executed_query(cursor, sql, params))


class DatabaseWrapper(base.DatabaseWrapper):
    ops_class = Operations

    def get_connection_params(self) -> dict[str, Any]:
        return {**super().get_connection_params(), "cursor_factory": ScopedCursor}

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
