"""Is the process alive, and can it serve?"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import DatabaseError, InterfaceError, connection
from django.db.migrations.executor import MigrationExecutor

from coaching.ledger import periods, staleness
from coaching.usecases import recompute


@dataclass(frozen=True)
class Readiness:
    database: bool
    migrated: bool
    waiting: int | None = None
    """Athletes whose conclusions are out of date, those given up included."""
    given_up: int | None = None
    last_sweep_s: float | None = None
    """Seconds since a sweep last came to its end; None before the first. It tells of a worker that stands still."""

    @property
    def ready(self) -> bool:
        return self.database and self.migrated


def readiness(now: datetime) -> Readiness:
    """Whether the database answers and is migrated, who waits for a computation, and how old the last sweep is."""
    try:
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            return Readiness(database=True, migrated=False)
        return Readiness(True, True, staleness.waiting(now), staleness.given_up(now), _last_sweep_s(now))
    except (DatabaseError, InterfaceError):
        return Readiness(database=False, migrated=False)


def _last_sweep_s(now: datetime) -> float | None:
    at = periods.last_ended(recompute.SWEEP)
    return None if at is None else round((now - at).total_seconds(), 1)
