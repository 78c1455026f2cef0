"""A bundle moved in time: days by days, instants so that the clock on the wall is the same."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from athletes.records.bundle.columns import TABLES, Table
from athletes.records.bundle.reading import Bundle, Rows


def shifted(bundle: Bundle, days: int) -> Bundle:
    """Every date and instant moved. Only by whole weeks do days of the week stay what they are."""
    if not days:
        return bundle
    move = _movers(timedelta(days=days), ZoneInfo(bundle.timezone))
    tables = {file: _table(TABLES[file], rows, move) for file, rows in bundle.tables.items()}
    return Bundle(bundle.manifest, tables)


def _movers(by: timedelta, zone: ZoneInfo) -> dict[str, Callable[[Any], Any]]:
    def day(value: date | None) -> date | None:
        return None if value is None else value + by

    def instant(value: datetime | None) -> datetime | None:
        if value is None:
            return None
        wall = value.astimezone(zone).replace(tzinfo=None) + by
        return wall.replace(tzinfo=zone).astimezone(UTC)

    return {"day": day, "instant": instant}


def _table(table: Table, rows: Rows, move: dict[str, Callable[[Any], Any]]) -> Rows:
    movers = [move.get(column.kind) for column in table.columns]
    moved = [
        tuple(mover(value) if mover else value for mover, value in zip(movers, row, strict=True))
        for row in rows.rows
    ]
    return Rows(moved, rows.numbers)
