"""A large squad for measuring: the demo's facts under new keys and codes, copied inside the database.

Only for a database that is thrown away afterwards. Whole groups are copied, squads and roles with them, so that a
copy of the demo is as like the demo as two clubs can be; events, places and air are the same for all.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime

from django.db import connection, transaction

from athletes.records import access
from coaching.usecases import clock, set_up

ZONE = "Europe/Vienna"
"""Zone of the demo's athletes."""
STRIDE = 1_000_000
"""Between the keys of one copy and the next; wider than any table of the demo is long."""
KEYS: Mapping[str, tuple[str, ...]] = {
    "records_squad": ("id",),
    "records_athlete": ("id",),
    "records_membership": ("id", "squad_id", "athlete_id"),
    "records_role": ("id", "squad_id"),
    "records_consent": ("id", "athlete_id", "ends_id"),
    "records_checkin": ("id", "athlete_id"),
    "records_session": ("id", "athlete_id"),
    "records_away": ("id", "athlete_id"),
    "records_care": ("id", "athlete_id"),
    "records_signoff": ("id", "athlete_id"),
    "records_sighting": ("id", "athlete_id"),
    "records_damage": ("id", "athlete_id"),
    "records_look": ("id", "damage_id"),
    "records_entry": ("id", "athlete_id"),
}
"""Columns of each table that name a row of their own copy; in the order in which rows need each other."""
CODED = ("records_squad", "records_athlete", "records_damage")
ONLY = {"records_role": " AND athlete_id IS NULL"}
"""People who are athletes or guardians stay with the first copy; coaches coach every copy."""
NUMBERED = "WITH RECURSIVE copies (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM copies WHERE n < %s)"


def large_squad(athletes: int, now: datetime) -> tuple[list[int], date]:
    """Fill the present, empty database with at least so many athletes; keys of exactly so many, and their today."""
    set_up.load_demo(now)
    today = clock.local_day(now, ZONE)
    first = sorted(ref.id for ref in access.refs_visible(access.OPERATOR(today)))
    copies = -(-athletes // len(first))
    if copies > 1:
        with transaction.atomic():
            _copy(copies - 1)
    return [key + n * STRIDE for n in range(copies) for key in first][:athletes], today


def _copy(times: int) -> None:
    """So many copies of every table, each table in one statement."""
    with connection.cursor() as cursor:
        for table, keys in KEYS.items():
            columns = [c.name for c in connection.introspection.get_table_description(cursor, table)]
            values = [_value(table, column, keys) for column in columns]
            named = ", ".join(f'"{column}"' for column in columns)
            # Nothing here was typed by anybody: names from the schema, a number of our own.
            cursor.execute(
                f"{NUMBERED} INSERT INTO {table} ({named}) SELECT {', '.join(values)} "  # noqa: S608
                f"FROM {table} CROSS JOIN copies WHERE id < {STRIDE}{ONLY.get(table, '')}",
                [times],
            )


def _value(table: str, column: str, keys: tuple[str, ...]) -> str:
    if column in keys:
        return f'"{column}" + n * {STRIDE}'
    if table in CODED and column == "code":
        return "code || '-' || n"
    return f'"{column}"'
