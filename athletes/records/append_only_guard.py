"""Triggers under the models: words of consent and trials are never changed, and go only after their athlete.

Put up again after every migration, because SQLite loses the triggers of a table that it makes anew.
"""

from __future__ import annotations

from typing import Any

from django.db import connections

TABLES = {
    "records_consent": True,
    "records_accesslog": False,
    **dict.fromkeys(("records_trial", "records_trialday", "records_trialend", "records_trialpatch"), True),
}
"""Tables of which no row is changed; True: none is dropped either while its athlete is there."""
GONE = "NOT EXISTS (SELECT 1 FROM records_athlete WHERE records_athlete.id = OLD.athlete_id)"

SQLITE = """
DROP TRIGGER IF EXISTS {table}_{verb};
CREATE TRIGGER {table}_{verb} BEFORE {event} ON {table} FOR EACH ROW {when}
BEGIN SELECT RAISE(ABORT, 'rows of {table} are added only'); END;
"""
POSTGRESQL = """
CREATE OR REPLACE FUNCTION {table}_{verb}_refused() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF {allowed} THEN RETURN OLD; END IF;
  RAISE EXCEPTION 'rows of {table} are added only' USING ERRCODE = 'integrity_constraint_violation';
END $$;
DROP TRIGGER IF EXISTS {table}_{verb} ON {table};
CREATE TRIGGER {table}_{verb} BEFORE {event} ON {table} FOR EACH ROW EXECUTE FUNCTION {table}_{verb}_refused();
"""


def put_up(using: str = "default", **signal: Any) -> None:
    """Make the triggers of every guarded table that is there."""
    connection = connections[using]
    there = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for sql in (one for table, whole in TABLES.items() if table in there for one in _of(table, whole)):
            if connection.vendor == "postgresql":
                cursor.execute(POSTGRESQL.format(**sql))
            else:
                drop, make = SQLITE.format(**sql).split(";", 1)
                cursor.execute(drop)
                cursor.execute(make)


def _of(table: str, whole: bool) -> list[dict[str, str]]:
    found = [{"table": table, "verb": "kept", "event": "UPDATE", "when": "", "allowed": "false"}]
    if whole:
        found.append({"table": table, "verb": "held", "event": "DELETE", "when": f"WHEN NOT ({GONE})", "allowed": GONE})
    return found
