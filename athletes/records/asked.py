"""Questions that nearly every request asks: the mapper writes their SQL once a process, and then only values change.

What comes back is what the mapper gives, a list of tuples.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import connection
from django.db.models import QuerySet

Row = tuple[Any, ...]


@dataclass(frozen=True)
class _Made:
    """SQL, which value goes to each of its marks, and what makes Python's values of some columns."""

    sql: str
    places: tuple[int, ...]
    converters: tuple[tuple[int, Sequence[Callable[..., Any]], Any], ...]


class Question:
    """A query of `values_list`, asked again and again; `like` are unequal texts or numbers that stand for the values
    while its SQL is written. Each value must be used as it is, which goes for the equality of texts and of keys.
    """

    def __init__(self, ask: Callable[..., QuerySet[Any, Any]], *like: str | int) -> None:
        self._ask, self._like = ask, like
        self._made: dict[str, _Made] = {}

    def rows(self, *values: str | int | None) -> list[Row]:
        """One query."""
        made = self._made.get(connection.vendor)
        if made is None:
            made = self._made[connection.vendor] = self._compose()
        with connection.cursor() as cursor:
            cursor.execute(made.sql, [values[n] for n in made.places])
            found = cursor.fetchall()
        return [_converted(row, made) for row in found] if made.converters else found

    def _compose(self) -> _Made:
        compiler = self._ask(*self._like).query.get_compiler(connection=connection)
        sql, params = compiler.as_sql()
        converters = compiler.get_converters([column for column, _, _ in compiler.select])
        return _Made(
            sql,
            tuple(self._like.index(value) for value in params),
            tuple((n, tuple(ways), column) for n, (ways, column) in converters.items()),
        )


def _converted(row: Row, made: _Made) -> Row:
    found = list(row)
    for n, ways, column in made.converters:
        for way in ways:
            found[n] = way(found[n], column, connection)
    return tuple(found)
