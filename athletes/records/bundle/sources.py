"""Where each table's columns lie in the database, and its rows read from there in the form in which files are
read.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Model, Q

from athletes.records import models
from athletes.records.bundle import consent_rows
from athletes.records.bundle.columns import TABLES, Row, Table
from athletes.records.bundle.values import LISTS

CHUNK = 900
"""Most values in one IN of a query, under the limit of every SQLite."""


WITHDRAWN = "ended_by__given_on"


@dataclass(frozen=True)
class Source:
    """A model and the path to each column; `__code` at the end of a path is another record's code."""

    model: type[Model]
    paths: tuple[str, ...]

    @property
    def first(self) -> str:
        return self.paths[0]


def _own(file: str, **renamed: str) -> tuple[str, ...]:
    """Paths of a table whose columns are called as its fields are, but for those named."""
    references = {
        "athlete_id": "athlete__code",
        "place_id": "place__code",
        "event_id": "event__code",
        **renamed,
    }
    return tuple(references.get(name, name) for name in TABLES[file].names)


SOURCES: dict[str, Source] = {
    "athletes.csv": Source(models.Athlete, _own("athletes.csv", athlete_id="code")),
    "squads.csv": Source(models.Membership, ("squad__code", "squad__name", "athlete__code")),
    "people.csv": Source(
        models.Role, ("person__code", "person__name", "role", "squad__code", "athlete__code")
    ),
    "consents.csv": Source(models.Consent, _own("consents.csv", **{"class": "data_class", "withdrawn_on": WITHDRAWN})),
    "places.csv": Source(models.Place, _own("places.csv", place_id="code")),
    "air.csv": Source(models.Air, _own("air.csv")),
    "events.csv": Source(models.Event, _own("events.csv", event_id="code")),
    "entries.csv": Source(models.Entry, _own("entries.csv")),
    "checkins.csv": Source(models.CheckIn, _own("checkins.csv")),
    "sessions.csv": Source(models.Session, _own("sessions.csv")),
    "care.csv": Source(models.Care, _own("care.csv")),
    "signoffs.csv": Source(models.Signoff, _own("signoffs.csv")),
    "damage.csv": Source(models.Damage, _own("damage.csv", episode_id="code")),
    "damage_looks.csv": Source(models.Look, _own("damage_looks.csv", episode_id="damage__code")),
    "away.csv": Source(models.Away, _own("away.csv")),
    "sightings.csv": Source(models.Sighting, _own("sightings.csv")),
}


def stored_rows(file: str, where: Q | None = None) -> list[Row]:
    """The rows of a table that are stored, typed as `reading` types them."""
    if file == "consents.csv":
        return consent_rows.stored(where or Q())
    source, table = SOURCES[file], TABLES[file]
    rows = source.model._default_manager.filter(where or Q()).values_list(*source.paths)
    found = [_typed(table, row) for row in rows.iterator(chunk_size=5000)]
    return found + list(_memberless(where)) if file == "squads.csv" else found


def _memberless(where: Q | None) -> Iterator[Row]:
    """Squads without members, unless members are asked for."""
    if where is None:
        rows = models.Squad.objects.filter(memberships__isnull=True).values_list("code", "name")
        yield from ((code, name, None) for code, name in rows)


def stored_rows_of(file: str, ids: Collection[str], extra: Q | None = None) -> list[Row]:
    """The stored rows whose first column is one of the ids."""
    path = SOURCES[file].first
    return [
        row
        for some in chunks(sorted(ids))
        for row in stored_rows(file, Q(**{f"{path}__in": some}) & (extra or Q()))
    ]


def chunks(values: list[Any]) -> Iterable[list[Any]]:
    return (values[start : start + CHUNK] for start in range(0, len(values), CHUNK))


def _typed(table: Table, row: Iterable[Any]) -> Row:
    return tuple(_value(column.kind, value) for column, value in zip(table.columns, row, strict=True))


def _value(kind: str, value: Any) -> Any:
    if kind == "marks":
        return tuple(sorted((site, mark) for site, mark in value or ()))
    if kind in LISTS:
        return tuple(sorted(value or ()))
    return None if value == "" else value
