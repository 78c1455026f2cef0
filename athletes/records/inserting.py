"""Insert a row unless its like is there, in one statement: the unique constraint decides, and nobody looks first."""

from __future__ import annotations

from functools import cache

from django.db import connection
from django.db.models import Model


def insert_new(row: Model, once: tuple[str, ...]) -> bool:
    """Store the row, whose key is not told; False where a row that agrees in the columns `once` stands already."""
    fields = _fields(type(row))
    values = [field.get_db_prep_save(getattr(row, field.attname), connection) for field in fields]
    with connection.cursor() as cursor:
        cursor.execute(_statement(type(row), once), values)
        return bool(cursor.rowcount)


@cache
def _fields(kind: type[Model]) -> tuple:  # type: ignore[type-arg]
    return tuple(field for field in kind._meta.concrete_fields if not field.primary_key)


@cache
def _statement(kind: type[Model], once: tuple[str, ...]) -> str:
    columns = [f'"{field.column}"' for field in _fields(kind)]
    marks, agree = ", ".join(["%s"] * len(columns)), ", ".join(f'"{name}"' for name in once)
    # Names come from the model, and values go beside the statement.
    into = f'INSERT INTO "{kind._meta.db_table}" ({", ".join(columns)}) VALUES ({marks})'  # noqa: S608
    return f"{into} ON CONFLICT ({agree}) DO NOTHING"
