"""What `check --deploy --database default` and every `migrate` say of the role that the program signs in as, and of
what the server writes down.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.core.checks import CheckMessage, Tags, Warning, register

from athletes.records import row_lock, server_log


@register(Tags.database)
def held_by_policies(databases: Sequence[str] | None = None, **asked: Any) -> list[CheckMessage]:
    """A warning for each database where row-level security would not hold the program."""
    return [
        Warning(
            "The program signs in to PostgreSQL as a superuser or with BYPASSRLS, so the second lock on rows of health"
            " does not hold it.",
            hint="Let it sign in as a role with NOSUPERUSER NOBYPASSRLS that owns the database, as in"
            " coaching/config/database_role.sh.",
            obj=using,
            id="records.W001",
        )
        for using in databases or ()
        if not row_lock.held(using)
    ]


@register(Tags.database)
def logged_without_values(databases: Sequence[str] | None = None, **asked: Any) -> list[CheckMessage]:
    """A warning for each database whose server's log would hold what athletes tell."""
    return [
        Warning(
            f"The log of PostgreSQL would hold values of rows: {', '.join(found)}.",
            hint="Let the administrator set them for the program's role, as in coaching/config/database_role.sh.",
            obj=using,
            id="records.W002",
        )
        for using in databases or ()
        if (found := server_log.loud(using))
    ]
