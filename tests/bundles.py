"""Small bundles for tests: a folder of CSV files made from rows, one athlete unless said."""

from __future__ import annotations

import csv
import json
import zipfile
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from athletes.records.bundle.report import ImportReport
from coaching.usecases.import_bundle import import_bundle

NOW = datetime(2027, 3, 11, 18, tzinfo=UTC)
MANIFEST = {
    "format": "tenpads-bundle",
    "version": 1,
    "made_at": "2027-03-11T18:00:00Z",
    "timezone": "Europe/Vienna",
    "note": "",
}
Rows = list[dict[str, Any]]
ATHLETE = {"athlete_id": "a1", "name": "Ayo Lindqvist", "birth_date": "2003-05-14"}
CHECKIN = {"athlete_id": "a1", "local_date": "2027-03-10", "reserve": 6, "dampness": 4}
SESSION = {
    "athlete_id": "a1",
    "local_date": "2027-03-10",
    "planned": "no",
    "minutes": 60,
    "rpe": 5,
    "surface": "plastic",
}
SPLIT = {
    "episode_id": "d1",
    "athlete_id": "a1",
    "site": "R-middle-tip",
    "kind": "split",
    "noticed_on": "2027-03-08",
}
LOOK = {"episode_id": "d1", "local_date": "2027-03-09", "stage": "closing", "pain": 4}
EVENT = {
    "event_id": "e1",
    "name": "Cup",
    "kind": "competition",
    "first_day": "2027-03-20",
    "last_day": "2027-03-21",
    "timezone": "Europe/Vienna",
}


def folder(path: Path, tables: dict[str, Rows], manifest: dict[str, Any] | None = None) -> Path:
    """Write a bundle; the athlete `a1` is in it unless the tables hold athletes."""
    path.mkdir(parents=True, exist_ok=True)
    (path / "manifest.json").write_text(json.dumps(manifest or MANIFEST))
    for name, rows in {"athletes": [ATHLETE], **tables}.items():
        columns = list(dict.fromkeys(column for row in rows for column in row))
        with (path / f"{name}.csv").open("w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, columns, restval="")
            writer.writeheader()
            writer.writerows(rows)
    return path


def load(path: Path, tables: dict[str, Rows], **options: Any) -> ImportReport:
    """Write and import a bundle."""
    return import_bundle(folder(path, tables), club_name="Club", now=NOW, **options)


def zipped(path: Path, members: dict[str, str]) -> Path:
    with zipfile.ZipFile(path, "w") as archive:
        for name, text in members.items():
            archive.writestr(name, text)
    return path
