"""Places, their air and their typical year: appended, or replaced with nothing lost. Only use-cases call this."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

from athletes.records.air_file_units import FileUnits, InSi, in_si
from athletes.records.bundle.columns import TABLES, Row, Table
from athletes.records.bundle.problems import bad_input
from athletes.records.bundle.reading import Rows, read_table
from athletes.records.bundle.report import BadRow, bad_row
from athletes.records.models import Air, Athlete, Correction, ForecastAsk, Person, Place, TypicalAir
from athletes.records.writes import picture

LARGEST_FILE = 1_000_000
BATCH = 1000
_AIR = TABLES["air.csv"]
AIR_OF_A_PLACE = Table("air.csv", _AIR.columns[1:], key=("starts_at", "known_at"))
"""air.csv without the place, which the page knows; the place may be named all the same."""


@dataclass(frozen=True)
class AirFile:
    """Rows that can be stored, in the order of the file, and every bad one; `si` is the file in C and m/s."""

    rows: tuple[Row, ...]
    bad: tuple[BadRow, ...]
    si: InSi = InSi(b"")


@dataclass(frozen=True)
class StoredAir:
    """How many rows are new, corrected, and known before."""

    new: int
    corrected: int
    same: int


def read_air_file(data: bytes, place_code: str, now: datetime, units: FileUnits = FileUnits()) -> AirFile:  # noqa: B008
    """The rows of a file for one place; all bad ones are numbered as a spreadsheet shows them."""
    if len(data) > LARGEST_FILE:
        return AirFile((), (bad_row("air.csv", None, None, "too-large", hint="1 MB"),))
    si = in_si(data, units)
    if si.bad:
        return AirFile((), si.bad, si)
    found = _si_rows(si.data, place_code, now)
    return AirFile(found.rows, tuple(si.named(row) for row in found.bad), si)


def _si_rows(data: bytes, place_code: str, now: datetime) -> AirFile:
    head = data[:4000].split(b"\n", 1)[0]
    if b"place_id" not in head:
        rows, bad = read_table(AIR_OF_A_PLACE, data)
        return AirFile(tuple(rows.rows), (*bad, *_to_come(AIR_OF_A_PLACE, rows, now)))
    rows, bad = read_table(_AIR, data)
    foreign = [
        bad_row("air.csv", number, "place_id", "unknown-reference", row[0], place_code)
        for row, number in zip(rows.rows, rows.numbers, strict=True)
        if row[0] != place_code
    ]
    return AirFile(tuple(row[1:] for row in rows.rows), (*bad, *foreign, *_to_come(_AIR, rows, now)))


def _to_come(table: Table, rows: Rows, now: datetime) -> list[BadRow]:
    """What is measured lies behind us."""
    start, known = table.index("starts_at"), table.index("known_at")
    return [
        bad_row("air.csv", number, "starts_at", "to-come", row[start])
        for row, number in zip(rows.rows, rows.numbers, strict=True)
        if row[known] is None and row[start] > now
    ]


def reading_row(values: Mapping[str, Any], now: datetime) -> Row:
    """A row of what was measured. Raises BadInput."""
    found = air_row(values)
    if found[0] > now:
        raise bad_input("starts_at", "to-come", found[0])
    return found


def air_row(values: Mapping[str, Any]) -> Row:
    """One row of air from values, checked. Raises BadInput."""
    return tuple(AIR_OF_A_PLACE.admit(name, values.get(name)) for name in AIR_OF_A_PLACE.names)


def store_air(place_id: int, rows: Iterable[Row], *, made_at: datetime, by: int | None) -> StoredAir:
    """Store air of a place. Another word on an hour and issue already stored corrects it, with a trace.

    Two queries for reading and storing, one more for each corrected hour.
    """
    wanted = {_key(row): row for row in rows}
    if not wanted:
        return StoredAir(0, 0, 0)
    starts = [at for at, _ in wanted]
    found = Air.objects.filter(place_id=place_id, starts_at__range=(min(starts), max(starts)))
    stored = {(row.starts_at, row.known_at): row for row in found}
    fresh = [_made(place_id, row) for key, row in wanted.items() if key not in stored]
    corrected = sum(_corrected(stored[key], row, made_at, by) for key, row in wanted.items() if key in stored)
    Air.objects.bulk_create(fresh, BATCH, ignore_conflicts=True)
    return StoredAir(len(fresh), corrected, len(wanted) - len(fresh) - corrected)


def _key(row: Row) -> tuple[datetime, datetime | None]:
    value = dict(zip(AIR_OF_A_PLACE.names, row, strict=True))
    return value["starts_at"], value["known_at"]


def _made(place_id: int, row: Row) -> Air:
    return Air(place_id=place_id, **dict(zip(AIR_OF_A_PLACE.names, row, strict=True)))


def _corrected(stored: Air, row: Row, made_at: datetime, by: int | None) -> bool:
    """What the new row leaves open stays as it was."""
    told = zip(AIR_OF_A_PLACE.names, row, strict=True)
    said = {name: value for name, value in told if value is not None and getattr(stored, name) != value}
    if not said:
        return False
    before = picture(stored)
    for name, value in said.items():
        setattr(stored, name, value)
    stored.save()
    Correction.objects.create(
        athlete_id=None, table="air", row_id=stored.pk, made_at=made_at, by_id=by, before=before,
        after=picture(stored), why="",
    )  # fmt: skip
    return True


def make_place(values: Mapping[str, Any], made_by: int) -> str:
    """Add a place and return its code. Raises BadInput."""
    table = TABLES["places.csv"]
    code = f"p-{uuid4().hex[:12]}"
    found = {name: table.admit(name, {"place_id": code, **values}.get(name)) for name in table.names}
    del found["place_id"]
    words = {name: found[name] or "" for name in ("name", "kind", "rock", "exposure")}
    Place.objects.create(code=code, made_by_id=made_by, **{**found, **words})
    return code


def store_typical(place_id: int, rows: Sequence[Mapping[str, Any]]) -> None:
    """Put a typical year in the place of the one stored before: it is no fact, it can be read in again."""
    TypicalAir.objects.filter(place_id=place_id).delete()
    TypicalAir.objects.bulk_create([TypicalAir(place_id=place_id, **row) for row in rows], BATCH)


def note_asked(place_id: int, at: datetime, not_before: datetime | None, failure: str) -> None:
    """When a forecast was asked for, and what came of it."""
    values = {"asked_at": at, "not_before": not_before, "failure": failure}
    ForecastAsk.objects.update_or_create(place_id=place_id, defaults=values)


def set_units(person_id: int, temperature_unit: str, wind_unit: str) -> None:
    """The units in which a person reads air."""
    Person.objects.filter(id=person_id).update(temperature_unit=temperature_unit, wind_unit=wind_unit)


def athletes_at(place_id: int, now: datetime) -> list[int]:
    """Whose conclusions may rest on the air of a place: sessions there within half a year, or an event to come."""
    since = (now - timedelta(days=180)).date()
    going = Athlete.objects.filter(entries__event__place_id=place_id, entries__event__last_day__gte=now.date())
    climbed = Athlete.objects.filter(sessions__place_id=place_id, sessions__local_date__gte=since)
    return sorted({*going.values_list("id", flat=True), *climbed.values_list("id", flat=True)})
