"""The second lock: PostgreSQL's row-level security on every table of health that leads to an athlete.

A policy lets rows through whose athlete is in the scope of the statement (`row_scope`); where no scope is set, none.
It is forced on the owner of the tables too, so one role does for everything. Superusers and roles with BYPASSRLS are
not held: the program must not sign in as one. Which tables, the register says: those with a column of health. Put up
again after every migration, so that a table made tomorrow is not forgotten.
"""

from __future__ import annotations

import hashlib
import re
from functools import cache, lru_cache
from typing import Any

from django.db import connections

from athletes.records import register
from athletes.records.row_scope import ACCOUNT, ATHLETES, EVERYBODY

OPEN = {
    "records_athlete": "the door itself finds people in it, by code and by squad, before anybody is let through",
}
"""Tables with a column of health that no policy guards, and why."""
THROUGH = {"records_look": ("damage_id", "records_damage", "id")}
"""Tables without a column of the athlete's: the column that leads on, to which table and which column of it."""
OWN = {"records_sentbefore": "account_id"}
"""Tables whose rows are besides open to the account that they are of: what it sent itself, under a key of its own."""
OF_SQUAD = {"records_entry": "who is entered is the squad's to know and to count, whatever is shared of them"}
"""Tables whose rows are besides open to whoever works with a squad that the athlete is in, and why."""
OF_NOBODY = {"records_correction": "what was put right in an event or a place names no athlete"}
"""Tables that besides hold rows without an athlete, which are no one's to lock, and why."""
POLICY = "in_scope"
ASKED = f"current_setting('{ATHLETES}', true)"
# In a sub-select each is worked out once a statement, not once a row.
WHOLE = f"(SELECT {ASKED} = '{EVERYBODY}')"
KEYS = f"((SELECT string_to_array(NULLIF(NULLIF({ASKED}, ''), '{EVERYBODY}'), ','))::bigint[])"
MINE = f"(SELECT NULLIF(current_setting('{ACCOUNT}', true), '')::bigint)"
STAFF = ("assistant", "head-coach", "manager", "medical")
IN_SQUADS = (
    "SELECT m.athlete_id FROM records_membership m JOIN records_role r ON r.squad_id = m.squad_id"  # noqa: S608
    f" JOIN records_account a ON a.person_id = r.person_id WHERE a.id = {MINE} AND r.role IN {STAFF}"
)


def of_health() -> list[str]:
    """Every table that the register gives a column of health."""
    return sorted({one.table for one in register.entries() if one.data_class == "health"})


@cache
def guarded() -> dict[str, str]:
    """The condition of each guarded table, under which a row may be read, added, changed or dropped.

    Raises LookupError for a table of health of which nothing says how it leads to an athlete.
    """
    columns = {(one.table, one.column) for one in register.entries()}
    found = {}
    for table in of_health():
        if table in OPEN:
            continue
        if (table, "athlete_id") in columns:
            inside = f"athlete_id = ANY ({KEYS})"
        elif table in THROUGH:
            column, other, key = THROUGH[table]
            inside = f"{column} IN (SELECT {other}.{key} FROM {other} WHERE {other}.athlete_id = ANY ({KEYS}))"  # noqa: S608
        else:
            raise LookupError(f"{table} has a column of health and does not say how it leads to an athlete")
        own = f" OR {OWN[table]} = {MINE}" if table in OWN else ""
        squad = f" OR athlete_id IN ({IN_SQUADS})" if table in OF_SQUAD else ""
        free = " OR athlete_id IS NULL" if table in OF_NOBODY else ""
        found[table] = f"{WHOLE} OR {inside}{own}{squad}{free}"
    return found


@cache
def _names() -> re.Pattern[str]:
    return re.compile(r"\b(?:" + "|".join(sorted(guarded())) + r")\b")


@lru_cache(maxsize=4096)
def names_guarded(statement: str) -> bool:
    """A guarded table is in the statement, other than to be swept, which reads nobody's rows and allows no transaction.
    Statements come in few shapes, so most were looked through before.
    """
    return not statement.startswith("VACUUM") and _names().search(statement) is not None


def put_up(using: str = "default", **signal: Any) -> None:
    """Make the policy of every guarded table that is there, where it is not as it should be; nothing on SQLite."""
    connection = connections[using]
    if connection.vendor != "postgresql":
        return
    there = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        stands = _standing(cursor)
        for table, condition in guarded().items():
            digest = hashlib.sha256(condition.encode()).hexdigest()[:32]
            if table in there and stands.get(table) != digest:
                for statement in _statements(table, condition, digest):
                    cursor.execute(statement)


def _statements(table: str, condition: str, digest: str) -> tuple[str, ...]:
    return (
        f"DROP POLICY IF EXISTS {POLICY} ON {table}",
        f"CREATE POLICY {POLICY} ON {table} USING ({condition}) WITH CHECK ({condition})",
        f"COMMENT ON POLICY {POLICY} ON {table} IS '{digest}'",
        f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY",
        f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY",
    )


def _standing(cursor: Any) -> dict[str, str]:
    """The digest under which each locked table's policy was made."""
    cursor.execute(
        "SELECT c.relname, obj_description(p.oid, 'pg_policy') FROM pg_policy p JOIN pg_class c ON c.oid = p.polrelid"
        " WHERE p.polname = %s AND c.relrowsecurity AND c.relforcerowsecurity"
        " AND c.relnamespace = current_schema()::regnamespace",
        [POLICY],
    )
    return dict(cursor.fetchall())


def held(using: str = "default") -> bool:
    """The role that the program signs in as is held by the policies; True on SQLite, which has none."""
    connection = connections[using]
    if connection.vendor != "postgresql":
        return True
    with connection.cursor() as cursor:
        cursor.execute("SELECT NOT (rolsuper OR rolbypassrls) FROM pg_roles WHERE rolname = current_user")
        return bool(cursor.fetchone()[0])
