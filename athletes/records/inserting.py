"""Insert a row unless its like is there, in one statement: the unique constraint decides, and nobody looks first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.db import connection
from django.db.models import Model


@dataclass(frozen=True)
class Statement:
    """One statement and the values beside it."""

    sql: str
    values: Sequence[Any]


def insert_new(row: Model, once: tuple[str, ...], first: Statement | None = None) -> bool:
    """Store the row, whose key is not told; False where a row that agrees in the columns `once` stands already.

    `first` is a change that is made before it in any case, where the server can in the same round trip.
    """
    fields = _fields(type(row))
    values = [field.get_db_prep_save(getattr(row, field.attname), connection) for field in fields]
    with connection.cursor() as cursor:
        if first and connection.vendor == "postgresql":
            # Reading from it is what puts it before the row: of two that only stand together neither comes first.
            both = _statement(type(row), once, "SELECT {marks} FROM (SELECT count(*) FROM before) AS done")
            cursor.execute(f"WITH before AS ({first.sql} RETURNING 1) {both}", [*first.values, *values])
        else:
            if first:
                cursor.execute(first.sql, first.values)
            cursor.execute(_statement(type(row), once), values)
        return bool(cursor.rowcount)


def insert_after(row: Model, before: Sequence[tuple[str, Statement]]) -> bool:
    """Store the row, whose key is not told, and what is named before it, in one statement that is its own transaction;
    PostgreSQL only, and outside of any other transaction. False where the last of `before` stored nothing.

    Each of `before` may read what the one before it stored, by its name. Raises IntegrityError where the row or one of
    them cannot stand; then nothing is stored.
    """
    fields = _fields(type(row))
    values = [field.get_db_prep_save(getattr(row, field.attname), connection) for field in fields]
    named = ", ".join(f"{name} AS ({one.sql} RETURNING 1)" for name, one in before)
    into = _into(type(row), f"SELECT {{marks}} FROM {before[-1][0]}")  # noqa: S608 - names of our own
    with connection.cursor() as cursor:
        cursor.execute(f"WITH {named} {into}", [*(value for _, one in before for value in one.values), *values])
        return bool(cursor.rowcount)


@cache
def _fields(kind: type[Model]) -> tuple:  # type: ignore[type-arg]
    return tuple(field for field in kind._meta.concrete_fields if not field.primary_key)


@cache
def _statement(kind: type[Model], once: tuple[str, ...], new: str = "VALUES ({marks})") -> str:
    agree = ", ".join(f'"{name}"' for name in once)
    return f"{_into(kind, new)} ON CONFLICT ({agree}) DO NOTHING"


@cache
def _into(kind: type[Model], new: str) -> str:
    columns = [f'"{field.column}"' for field in _fields(kind)]
    # Names come from the model, and values go beside the statement.
    marks = ", ".join(["%s"] * len(columns))
    return f'INSERT INTO "{kind._meta.db_table}" ({", ".join(columns)}) {new.format(marks=marks)}'  # noqa: S608
