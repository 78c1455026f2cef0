"""Is the process alive, and can it serve?"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor

from coaching.ledger import staleness


@dataclass(frozen=True)
class Readiness:
    database: bool
    migrated: bool
    waiting: int | None

    @property
    def ready(self) -> bool:
        return self.database and self.migrated


def readiness(now: datetime) -> Readiness:
    """Whether the database answers and is migrated, and how many athletes wait for a computation."""
    try:
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            return Readiness(database=True, migrated=False, waiting=None)
        return Readiness(database=True, migrated=True, waiting=staleness.waiting(now))
    except DatabaseError:
        return Readiness(database=False, migrated=False, waiting=None)
