"""Rows -> database: what is there already is left alone, what contradicts it is refused, the rest is stored
in bulk.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from django.db import connection
from django.db.models import CharField, Model, Q, TextField

from athletes.records import models
from athletes.records.bundle import consent_rows
from athletes.records.bundle.columns import TABLES, Row, Table
from athletes.records.bundle.reading import MADE_UP, Bundle, Rows
from athletes.records.bundle.report import BadBundle, BadRow, bad_row
from athletes.records.bundle.sources import SOURCES, chunks, stored_rows_of

BATCH = 1000
KEYED_MODELS: dict[str, type[Model]] = {
    "athletes.csv": models.Athlete,
    "squads.csv": models.Squad,
    "places.csv": models.Place,
    "events.csv": models.Event,
    "damage.csv": models.Damage,
}
"""Models whose code stands in the first column of the file."""


@dataclass
class Loaded:
    """Rows of each table stored now, and rows that were there already; athletes whose facts changed."""

    stored: dict[str, int] = field(default_factory=dict)
    already: dict[str, int] = field(default_factory=dict)
    athlete_ids: set[int] = field(default_factory=set)


def load(bundle: Bundle, club_name: str) -> Loaded:
    """Store what is new of a bundle. Call it inside a transaction. Raises BadBundle before anything is
    stored.
    """
    bad = _references(bundle) + _names(bundle)
    fresh: dict[str, list[Row]] = {}
    loaded = Loaded()
    for file, rows in bundle.tables.items():
        fresh[file], clashes = _fresh(TABLES[file], rows)
        bad += clashes
        loaded.stored[stem(file)] = len(fresh[file])
        loaded.already[stem(file)] = len(rows.rows) - len(fresh[file])
    if bad:
        raise BadBundle(bad)
    for file in TABLES:
        _store(file, fresh.get(file, []), club_name)
    loaded.athlete_ids = _touched(fresh)
    return loaded


def stem(file: str) -> str:
    """The name of a table: its file's without the ending."""
    return file.removesuffix(".csv")


# What stands in the way -----------------------------------------------------------------------------------


def _references(bundle: Bundle) -> list[BadRow]:
    """Cells that name something that neither the bundle nor the database holds."""
    bad: list[BadRow] = []
    for file, rows in bundle.tables.items():
        table = TABLES[file]
        for name, target in table.refers.items():
            place = table.index(name)
            known = _known(bundle, target, {row[place] for row in rows.rows if row[place] is not None})
            for row, number in zip(rows.rows, rows.numbers, strict=True):
                if row[place] is not None and row[place] not in known:
                    bad.append(bad_row(file, number, name, "unknown-reference", row[place], target))
    return bad


def _known(bundle: Bundle, target: str, wanted: set[str]) -> set[str]:
    """Codes of the target that the bundle holds, and those of the wanted that are stored."""
    known = {row[0] for row in bundle.rows(target)}
    missing = sorted(wanted - known)
    for some in chunks(missing):
        stored = KEYED_MODELS[target]._default_manager.filter(code__in=some)
        known.update(stored.values_list("code", flat=True))
    return known


def _names(bundle: Bundle) -> list[BadRow]:
    """People and squads, whose rows repeat their name, must be called the same everywhere."""
    bad: list[BadRow] = []
    for file, model in (("people.csv", models.Person), ("squads.csv", models.Squad)):
        rows = bundle.tables.get(file, Rows())
        codes = sorted({row[0] for row in rows.rows})
        called: dict[str, str] = {}
        for some in chunks(codes):
            called.update(model._default_manager.filter(code__in=some).values_list("code", "name"))
        stored, first = set(called), dict[str, int]()
        for row, number in zip(rows.rows, rows.numbers, strict=True):
            at = first.setdefault(row[0], number)
            if called.setdefault(row[0], row[1]) != row[1] and number != MADE_UP:
                code = "differs-from-stored" if row[0] in stored else "contradicts"
                bad.append(bad_row(file, number, "name", code, row[1], str(at)))
    return bad


def _fresh(table: Table, rows: Rows) -> tuple[list[Row], list[BadRow]]:
    """The rows not yet stored, and those that contradict a stored one."""
    if not rows.rows:
        return [], []
    stored = stored_rows_of(table.file, {row[0] for row in rows.rows}, _span(table, rows.rows))
    if not table.key:
        return _beyond(rows.rows, Counter(stored)), []
    places = [table.index(name) for name in table.key]
    by_key = {tuple(row[p] for p in places): row for row in stored}
    fresh, bad = [], []
    for row, number in zip(rows.rows, rows.numbers, strict=True):
        known = by_key.get(tuple(row[p] for p in places))
        if known is None:
            fresh.append(row)
        elif known != row:
            bad.append(_clash(table, row, known, number))
    if table.file == "squads.csv":
        fresh = _new_squads(fresh)
    return fresh, bad


def _beyond(rows: Iterable[Row], stored: Counter[Row]) -> list[Row]:
    """Of rows that form a multiset, those beyond the times that each is stored."""
    fresh = []
    for row in rows:
        if stored[row] > 0:
            stored[row] -= 1
        else:
            fresh.append(row)
    return fresh


def _new_squads(rows: list[Row]) -> list[Row]:
    """A row without a member only stands for its squad; where that is stored, it says nothing new."""
    empty = [row[0] for row in rows if row[2] is None]
    known = (
        set(models.Squad.objects.filter(code__in=empty).values_list("code", flat=True)) if empty else set()
    )
    return [row for row in rows if row[2] is not None or row[0] not in known]


def _clash(table: Table, row: Row, known: Row, number: int) -> BadRow:
    name = next(n for n, new, old in zip(table.names, row, known, strict=True) if new != old)
    return bad_row(table.file, number, name, "differs-from-stored", row[table.index(name)])


def _span(table: Table, rows: list[Row]) -> Q | None:
    """Only the hours of air that the rows cover are compared with what is stored."""
    if table.file != "air.csv":
        return None
    starts = [row[table.index("starts_at")] for row in rows]
    return Q(starts_at__range=(min(starts), max(starts)))


# Storing --------------------------------------------------------------------------------------------------


def _store(file: str, rows: list[Row], club_name: str) -> None:
    if not rows:
        return
    if file == "squads.csv":
        _store_squads(rows, club_name)
        rows = [row for row in rows if row[2] is not None]
    if file == "people.csv":
        people = {row[0]: row[1] for row in rows}
        models.Person.objects.bulk_create(
            [models.Person(code=code, name=name) for code, name in people.items()],
            BATCH,
            ignore_conflicts=True,
        )
    _store_rows(file, rows)


def _store_squads(rows: list[Row], club_name: str) -> None:
    club, _ = models.Club.objects.get_or_create(name=club_name)
    squads = {row[0]: row[1] for row in rows}
    models.Squad.objects.bulk_create(
        [models.Squad(club=club, code=code, name=name) for code, name in squads.items()],
        ignore_conflicts=True,
    )


def _store_rows(file: str, rows: list[Row]) -> None:
    """Insert rows in bulk, past the making of model objects, which would take most of an import's time."""
    source = SOURCES[file]
    columns = [
        _converter(source.model, path, {row[n] for row in rows}) for n, path in enumerate(source.paths)
    ]
    kept = [(n, column) for n, column in enumerate(columns) if column]
    named = {column.attribute for _, column in kept}
    fields = [f for f in _fields(source.model) if f.attname not in named]
    constant = [(f.column, _prepared(f, f.get_default())) for f in fields]
    names = [column.name for _, column in kept] + [name for name, _ in constant]
    rest = [value for _, value in constant]
    insert(source.model, names, ([column.value(row[n]) for n, column in kept] + rest for row in rows))
    if file == "consents.csv":
        consent_rows.take_back(rows)


def insert(model: type[Model], names: list[str], rows: Iterable[list[Any]]) -> None:
    """Insert prepared values into the named columns of a model's table."""
    quote = connection.ops.quote_name
    columns, marks = ", ".join(map(quote, names)), ", ".join(["%s"] * len(names))
    statement = f"INSERT INTO {quote(model._meta.db_table)} ({columns}) VALUES ({marks})"  # noqa: S608 - own names
    with connection.cursor() as cursor:
        cursor.executemany(statement, rows)


@dataclass(frozen=True)
class _Column:
    attribute: str
    name: str
    value: Callable[[Any], Any]


def _fields(model: type[Model]) -> list[Any]:
    return [f for f in model._meta.concrete_fields if not f.primary_key]


def _prepared(column: Any, value: Any) -> Any:
    return column.get_db_prep_save(value, connection)


def _converter(model: type[Model], path: str, values: set[Any]) -> _Column | None:
    """The column that a path sets, and each value as the database takes it; None where it is another
    record's.
    """
    if path.endswith("__code"):
        keys = _keys(model, path, values)
        column: Any = model._meta.get_field(path.removesuffix("__code"))
        return _Column(column.attname, column.column, keys.get)
    if "__" in path:
        return None
    column = model._meta.get_field(path)
    blank = "" if isinstance(column, CharField | TextField) else None
    known = {value: _prepared(column, _plain(value, blank)) for value in values}
    return _Column(column.attname, column.column, known.__getitem__)


def _plain(value: Any, blank: Any) -> Any:
    if isinstance(value, tuple):
        return [list(item) if isinstance(item, tuple) else item for item in value]
    return blank if value is None else value


def _keys(model: type[Model], path: str, codes: set[str | None]) -> dict[str | None, int]:
    """Keys of the records that a path names, by code."""
    target: Any = model._meta.get_field(path.removesuffix("__code")).related_model
    found: dict[str | None, int] = {}
    for some in chunks(sorted(code for code in codes if code is not None)):
        found.update(target._default_manager.filter(code__in=some).values_list("code", "id"))
    return found


# Whose facts changed --------------------------------------------------------------------------------------


def _touched(fresh: dict[str, list[Row]]) -> set[int]:
    """Keys of the athletes for whom something new was stored, an event or the air at a place included."""
    codes: set[str] = set()
    for file, rows in fresh.items():
        if "athlete_id" in TABLES[file].names:
            codes.update(row[TABLES[file].index("athlete_id")] for row in rows)
    episodes = {row[0] for row in fresh.get("damage_looks.csv", ())}
    events = {row[0] for row in fresh.get("events.csv", ())}
    places = {row[0] for file in ("places.csv", "air.csv") for row in fresh.get(file, ())}
    asked = (
        ("code__in", codes - {None}),
        ("damage__code__in", episodes),
        ("entries__event__code__in", events),
        ("entries__event__place__code__in", places),
        ("sessions__place__code__in", places),
    )
    found: set[int] = set()
    for lookup, values in asked:
        for some in chunks(sorted(values)):
            found.update(models.Athlete.objects.filter(**{lookup: some}).values_list("id", flat=True))
    return found
