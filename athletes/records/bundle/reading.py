"""A folder or a zip -> rows of typed values. Every bad row is found before anything is refused."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext

from athletes.records.bundle import canonical
from athletes.records.bundle.columns import TABLES, Row, Table, row_problem
from athletes.records.bundle.files import MANIFEST, contents
from athletes.records.bundle.report import BadBundle, BadRow, bad_row, of_input, short
from athletes.records.bundle.values import Column, read
from athletes.records.bundle.zones import is_zone
from athletes.records.errors import BadInput

FORMAT, VERSION = "tenpads-bundle", 1
MADE_UP = 0
"""Row number of a row that no file holds."""
Reader = Callable[[str], Any]


@dataclass(frozen=True)
class Rows:
    """The rows of one table, and the row of the file on which each stands."""

    rows: list[Row] = field(default_factory=list)
    numbers: list[int] = field(default_factory=list)

    def add(self, row: Row, number: int) -> None:
        self.rows.append(row)
        self.numbers.append(number)


@dataclass(frozen=True)
class Bundle:
    manifest: dict[str, Any]
    tables: dict[str, Rows]
    beside: dict[str, bytes] = field(default_factory=dict)
    """Files of an athlete's own export that are no tables: photos, and what each is of."""

    @property
    def timezone(self) -> str:
        return str(self.manifest["timezone"])

    def rows(self, file: str) -> list[Row]:
        return self.tables[file].rows if file in self.tables else []

    def digest(self) -> str:
        return canonical.digest({file: table.rows for file, table in self.tables.items()})


def manifest(path: Path) -> dict[str, Any]:
    """The manifest of a bundle alone. Raises BadBundle."""
    return _manifest(contents(path))


def read_bundle(path: Path) -> Bundle:
    """The whole bundle. Raises BadBundle with every bad row."""
    files = contents(path)
    told = _manifest(files)
    bad: list[BadRow] = []
    tables = {file: _table(TABLES[file], files[file], bad) for file in TABLES if file in files}
    bad += _unborn(tables, told)
    if bad:
        raise BadBundle(bad)
    _fill_timezone(tables, str(told["timezone"]))
    _complete_squads(tables)
    return Bundle(told, tables, {file: data for file, data in files.items() if file not in TABLES and file != MANIFEST})


def _manifest(files: dict[str, bytes]) -> dict[str, Any]:
    if MANIFEST not in files:
        raise BadBundle([bad_row(MANIFEST, None, None, "no-manifest")])
    try:
        told = json.loads(files[MANIFEST].decode("utf-8-sig"))
    except ValueError:  # of the text or of its encoding
        raise BadBundle([bad_row(MANIFEST, None, None, "manifest", hint="JSON, UTF-8")]) from None
    if bad := _manifest_problems(told):
        raise BadBundle([bad_row(MANIFEST, None, None, "manifest", hint=hint) for hint in bad])
    return dict(told)


def _manifest_problems(told: Any) -> list[str]:
    if not isinstance(told, dict):
        return ["an object"]
    found = []
    if told.get("format") != FORMAT:
        found.append(f'"format": "{FORMAT}"{_instead(told, "format")}')
    if told.get("version") != VERSION or isinstance(told.get("version"), bool):
        found.append(f'"version": {VERSION}{_instead(told, "version")}')
    if not is_zone(told.get("timezone")):
        found.append('"timezone": IANA name')
    if not _is_instant(told.get("made_at")):
        found.append('"made_at": YYYY-MM-DDTHH:MM:SSZ')
    return found


def _instead(told: dict[str, Any], name: str) -> str:
    """What the manifest says in its place, as the end of a hint."""
    if name not in told:
        return ", " + gettext("it is missing")
    return ", " + gettext("not {found}").format(found=short(json.dumps(told[name], ensure_ascii=False)))


def _is_instant(text: Any) -> bool:
    try:
        return isinstance(text, str) and datetime.fromisoformat(text).utcoffset() is not None
    except ValueError:
        return False


def read_table(table: Table, data: bytes) -> tuple[Rows, list[BadRow]]:
    """One file alone: the rows that are right, and every bad one."""
    bad: list[BadRow] = []
    return _table(table, data, bad), bad


def _table(table: Table, data: bytes, bad: list[BadRow]) -> Rows:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        number = data.count(b"\n", 0, error.start) + 1
        bad.append(bad_row(table.file, number, None, "not-utf-8"))
        return Rows()
    lines = _lines(table, text, bad)
    header = next(lines, (1, []))[1]
    problems = _header_problems(table, header)
    bad += problems
    return Rows() if problems else _rows(table, header, lines, bad)


def _lines(table: Table, text: str, bad: list[BadRow]) -> Iterator[tuple[int, list[str]]]:
    """(row number, cells); rows are counted as records, however many lines their cells take."""
    number = 0
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        for number, cells in enumerate(reader, 1):
            if cells:
                yield number, cells
    except csv.Error as error:
        bad.append(bad_row(table.file, number + 1, None, "not-csv", hint=str(error)))


def _header_problems(table: Table, header: list[str]) -> list[BadRow]:
    if not any(header):
        return [bad_row(table.file, 1, None, "no-header", hint=", ".join(table.names))]
    names = [name.strip() for name in header]
    hint = ", ".join(table.names)
    found = [
        bad_row(table.file, 1, n or None, "unknown-column", n, hint) for n in names if n not in table.names
    ]
    found += [bad_row(table.file, 1, n, "column-twice") for n in table.names if names.count(n) > 1]
    missing = [column.name for column in table.columns if column.needed and column.name not in names]
    return found + [bad_row(table.file, 1, name, "no-column") for name in missing]


def _rows(table: Table, header: list[str], lines: Iterator[tuple[int, list[str]]], bad: list[BadRow]) -> Rows:
    names = [name.strip() for name in header]
    places = [names.index(column.name) if column.name in names else None for column in table.columns]
    readers = [_reader(column) for column in table.columns]
    empty = [
        read(column, "") if place is None else None
        for column, place in zip(table.columns, places, strict=True)
    ]
    found, seen = Rows(), _Seen(table)
    for number, cells in lines:
        if len(cells) != len(names):
            bad.append(bad_row(table.file, number, None, "cells", hint=str(len(names))))
            continue
        row, problems = [], []
        for reader, place, absent in zip(readers, places, empty, strict=True):
            try:
                row.append(absent if place is None else reader(cells[place]))
            except BadInput as error:
                problems.append(
                    of_input(table.file, number, error, cells[place] if place is not None else None)
                )
        problems = problems or seen.problems(tuple(row), number)
        if not problems and not seen.repeated:
            found.add(tuple(row), number)
        bad += problems
    return found


def _reader(column: Column) -> Reader:
    """`read` of one column, remembering the texts that come again and again."""
    if column.kind in ("text", "instant"):
        return lambda text: read(column, text)
    known: dict[str, Any] = {}

    def remembered(text: str) -> Any:
        if text not in known:
            known[text] = read(column, text)
        return known[text]

    return remembered


class _Seen:
    """Rows of one table by their key: an equal row is passed over, another one of the same key is refused."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self.places = [table.index(name) for name in table.key]
        self.rows: dict[Row, tuple[Row, int]] = {}
        self.repeated = False

    def problems(self, row: Row, number: int) -> list[BadRow]:
        self.repeated = False
        error = row_problem(self.table, row)
        if error:
            return [of_input(self.table.file, number, error)]
        if not self.places:
            return []
        key = tuple(row[place] for place in self.places)
        other, at = self.rows.setdefault(key, (row, number))
        self.repeated = at != number and other == row
        if other == row:
            return []
        return [bad_row(self.table.file, number, self.table.key[-1], "contradicts", key[-1], str(at))]


def _unborn(tables: dict[str, Rows], told: dict[str, Any]) -> list[BadRow]:
    """Athletes who were born after the day on which the bundle was made, in its own zone."""
    made_on = datetime.fromisoformat(told["made_at"]).astimezone(ZoneInfo(told["timezone"])).date()
    rows, place = tables.get("athletes.csv", Rows()), TABLES["athletes.csv"].index("birth_date")
    return [
        bad_row("athletes.csv", number, "birth_date", "unborn", row[place], made_on.isoformat())
        for row, number in zip(rows.rows, rows.numbers, strict=True)
        if row[place] is not None and row[place] > made_on
    ]


def _fill_timezone(tables: dict[str, Rows], timezone: str) -> None:
    """An athlete without a zone lives in the manifest's."""
    if "athletes.csv" not in tables:
        return
    place = TABLES["athletes.csv"].index("timezone")
    rows = tables["athletes.csv"].rows
    rows[:] = [row if row[place] else (*row[:place], timezone, *row[place + 1 :]) for row in rows]


def _complete_squads(tables: dict[str, Rows]) -> None:
    """Where squads.csv is left out, squads that people.csv names are squads without members, called by their
    id.
    """
    if "squads.csv" in tables:
        squads = tables["squads.csv"]
        peopled = {row[0] for row in squads.rows if row[2]}
        kept = [
            (r, n) for r, n in zip(squads.rows, squads.numbers, strict=True) if r[2] or r[0] not in peopled
        ]
        tables["squads.csv"] = Rows([row for row, _ in kept], [number for _, number in kept])
        return
    people = tables.get("people.csv", Rows())
    named = sorted({row[3] for row in people.rows if row[3]})
    if named:
        tables["squads.csv"] = Rows([(code, code, None) for code in named], [MADE_UP] * len(named))
