"""Database -> rows -> files: the same content always gives the same bytes."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Collection, Mapping
from pathlib import Path
from typing import IO, Any

from django.db.models import Q

from athletes.records import models
from athletes.records.bundle import canonical
from athletes.records.bundle.columns import TABLES, Row
from athletes.records.bundle.files import MANIFEST
from athletes.records.bundle.reading import FORMAT, VERSION
from athletes.records.bundle.sources import SOURCES, stored_rows, stored_rows_of

NO_DATE = (1980, 1, 1, 0, 0, 0)
Tables = dict[str, list[Row]]


def everything() -> Tables:
    """All rows of the installation."""
    return {file: stored_rows(file) for file in TABLES}


def of_athletes(codes: Collection[str]) -> Tables:
    """The rows of some athletes, the events they are entered in, and the places and air that theirs name.

    Of people only they themselves and their guardians; nobody else's row is in it.
    """
    own = Q(athlete__code__in=list(codes))
    tables: Tables = {"athletes.csv": stored_rows_of("athletes.csv", codes)}
    for file in TABLES:
        if "athlete_id" in TABLES[file].names and file != "athletes.csv":
            tables[file] = stored_rows(file, own)
    tables["damage_looks.csv"] = stored_rows("damage_looks.csv", Q(damage__athlete__code__in=list(codes)))
    tables["events.csv"] = stored_rows_of("events.csv", _named(tables, "entries.csv", "event_id"))
    places = _named(tables, "sessions.csv", "place_id") | _named(tables, "events.csv", "place_id")
    for file in ("places.csv", "air.csv"):
        tables[file] = stored_rows_of(file, places)
    tables["squads.csv"] += _squads_of_people(tables)
    return tables


def _named(tables: Tables, file: str, column: str) -> set[str]:
    place = TABLES[file].index(column)
    return {row[place] for row in tables[file] if row[place] is not None}


def _squads_of_people(tables: Tables) -> list[Row]:
    """Squads that a role names and no membership does, so that every reference is met."""
    missing = _named(tables, "people.csv", "squad_id") - _named(tables, "squads.csv", "squad_id")
    named = models.Squad.objects.filter(code__in=sorted(missing)).values_list("code", "name")
    return [(code, name, None) for code, name in named]


def files(tables: Mapping[str, list[Row]], manifest: Mapping[str, Any]) -> dict[str, bytes]:
    """The bytes of each file; tables without rows are left out."""
    told = {"format": FORMAT, "version": VERSION, **manifest}
    found = {MANIFEST: (json.dumps(told, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()}
    for file in sorted(SOURCES):
        if tables.get(file) or file == "athletes.csv":
            found[file] = _csv(file, tables.get(file, []))
    return found


def _csv(file: str, rows: list[Row]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(TABLES[file].names)
    writer.writerows(canonical.texts(TABLES[file], rows))
    return text.getvalue().encode()


def write_folder(target: Path, contents: Mapping[str, bytes]) -> None:
    """Write into a new or empty folder. Raises FileExistsError where it holds something."""
    target.mkdir(parents=True, exist_ok=True)
    if any(target.iterdir()):
        raise FileExistsError(f"{target} is not empty")
    for name, data in contents.items():
        (target / name).write_bytes(data)


def write_zip(target: Path | IO[bytes], contents: Mapping[str, bytes]) -> None:
    """Write a zip whose bytes depend on its content alone. Raises FileExistsError where the file is there."""
    with zipfile.ZipFile(target, "x", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        for name in sorted(contents):
            member = zipfile.ZipInfo(name, NO_DATE)
            member.compress_type = zipfile.ZIP_DEFLATED
            member.external_attr = 0o600 << 16
            archive.writestr(member, contents[name])
