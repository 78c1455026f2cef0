"""Whether the database's own log would quote what the program stores.

As PostgreSQL comes, it writes every statement that fails into its log, with its values, and beside a rule that was
broken the whole row (its manual, Error Reporting and Logging: log_min_error_statement, log_error_verbosity; seen on
15). Notes of athletes would stand there, out of reach of consent, terms and erasure.
"""

from __future__ import annotations

from django.db import connections

QUIET = {"log_error_verbosity": ("terse",), "log_min_error_statement": ("log", "fatal", "panic"),
         "log_statement": ("none", "ddl"), "log_min_duration_statement": ("-1",),
         "log_parameter_max_length_on_error": ("0",)}  # fmt: skip
"""What each setting may be, so that no value of a row is written."""


def loud(using: str = "default") -> list[str]:
    """Settings of the program's session, as `name=value`, under which values are written; none on SQLite."""
    connection = connections[using]
    if connection.vendor != "postgresql":
        return []
    with connection.cursor() as cursor:
        names = list(QUIET)
        cursor.execute("SELECT name, setting FROM pg_settings WHERE name = ANY(%s) ORDER BY name", [names])
        return [f"{name}={setting}" for name, setting in cursor.fetchall() if setting not in QUIET[name]]
