"""Write many rows with one statement, sent again for each row.

Django's own way on PostgreSQL sends each column as one array, and escapes every quote of every JSON text for it once
more; with the large texts of conclusions that took longer than anything else about storing them.
"""

from __future__ import annotations

from collections.abc import Sequence

from django.db import connection, models


def insert(rows: Sequence[models.Model]) -> None:
    """Store new rows of one table; the database gives the keys, which the rows are not told."""
    _send(rows, "")


def upsert(rows: Sequence[models.Model], once: Sequence[str]) -> None:
    """Store rows of one table; one that agrees in the columns `once` with a row that stands takes its place."""
    if not rows:
        return
    quoted = connection.ops.quote_name
    changed = [quoted(f.column) for f in _fields(rows) if f.column not in once]
    news = ", ".join(f"{column} = EXCLUDED.{column}" for column in changed)
    _send(rows, f" ON CONFLICT ({', '.join(map(quoted, once))}) DO UPDATE SET {news}")


def insert_new(rows: Sequence[models.Model], once: Sequence[str]) -> None:
    """Store rows of one table; where a row that agrees in the columns `once` stands already, that one stays."""
    _send(rows, f" ON CONFLICT ({', '.join(map(connection.ops.quote_name, once))}) DO NOTHING")


def _fields(rows: Sequence[models.Model]) -> list[models.Field]:  # type: ignore[type-arg]
    return [field for field in rows[0]._meta.concrete_fields if not field.primary_key]


def _send(rows: Sequence[models.Model], on_conflict: str) -> None:
    if not rows:
        return
    fields, quoted = _fields(rows), connection.ops.quote_name
    columns = ", ".join(quoted(field.column) for field in fields)
    marks = ", ".join(["%s"] * len(fields))
    table = quoted(rows[0]._meta.db_table)
    values = [[f.get_db_prep_save(getattr(row, f.attname), connection) for f in fields] for row in rows]
    with connection.cursor() as cursor:
        # Names come from the models, and values go beside the statement.
        cursor.executemany(f"INSERT INTO {table} ({columns}) VALUES ({marks}){on_conflict}", values)  # noqa: S608
