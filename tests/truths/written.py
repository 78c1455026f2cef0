"""A simulated squad as a history bundle, as its athletes would have left it behind."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from tests.truths.kept import Truth

FIRST_DAY = date(2026, 10, 1)
MANIFEST = {"format": "tenpads-bundle", "version": 1, "made_at": "2027-12-31T12:00:00Z", "timezone": "Europe/Vienna",
            "note": "simulated"}  # fmt: skip


def day(column: int) -> date:
    return FIRST_DAY + timedelta(days=int(column))


def code(row: int) -> str:
    return f"s{row:04d}"


def bundle(truth: Truth, folder: Path) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "manifest.json").write_text(json.dumps(MANIFEST))
    n, t = truth.plan_min.shape
    names = [(code(row), f"Simulated {row}", "2000-01-01") for row in range(n)]
    _write(folder / "athletes.csv", ("athlete_id", "name", "birth_date"), names)
    told = ((code(i), day(j).isoformat(), truth.reserve[i, j], truth.dampness[i, j])
            for i, j in np.argwhere(truth.answered))  # fmt: skip
    _write(folder / "checkins.csv", ("athlete_id", "local_date", "reserve", "dampness"), told)
    columns = ("athlete_id", "local_date", "planned", "minutes", "rpe", "surface", "skin_limited")
    _write(folder / "sessions.csv", columns, _sessions(truth, n, t))
    columns = ("athlete_id", "local_date", "status", "verb", "form", "strength", "part", "uses")
    _write(folder / "care.csv", columns, _care(truth))
    columns = ("episode_id", "athlete_id", "site", "kind", "noticed_on", "depth")
    _write(folder / "damage.csv", columns, (
        (f"d{k}", code(d.athlete), d.site, d.kind, day(d.day).isoformat(), "deep" if d.deep else "shallow")
        for k, d in enumerate(truth.damage)))  # fmt: skip
    _write(folder / "damage_looks.csv", ("episode_id", "local_date", "stage", "balm_night", "taped"), _looks(truth, t))
    return folder


def _sessions(truth: Truth, n: int, t: int) -> Iterable[tuple[object, ...]]:
    for i in range(n):
        for j in range(t):
            surface = "ordinary rock" if truth.rock[i, j] else "plastic"
            where = (code(i), day(j).isoformat())
            if truth.plan_min[i, j] > 0:
                yield (*where, "yes", truth.plan_min[i, j], 5, surface, "")
            if truth.done_min[i, j] > 0 and truth.logged[i, j]:
                said = ("yes" if truth.limited[i, j] else "no") if truth.answered[i, j] else ""
                yield (*where, "no", round(truth.done_min[i, j], 1), 5, surface, said)


def _care(truth: Truth) -> Iterable[tuple[object, ...]]:
    for name, there in (("planned", truth.planned_dose), ("done", truth.took & truth.noted)):
        for i, j in np.argwhere(there):
            yield (code(i), day(j).isoformat(), name, "dry", "methenamine spray", "strong", "evening", 2)


def _looks(truth: Truth, t: int) -> Iterable[tuple[object, ...]]:
    if truth.looks is not None:
        said = {True: "yes", False: "no"}
        yield from ((f"d{o.damage}", day(o.day).isoformat(), o.stage, said[o.balm], said[o.taped]) for o in truth.looks)
        return
    for k, d in enumerate(truth.damage):
        for j in range(d.day, min(t, int(np.ceil(d.sound)) + 3)):
            if truth.looked[d.athlete, j]:
                stage = "sound" if j >= d.sound else "rimmed" if j >= d.closes else "open"
                yield (f"d{k}", day(j).isoformat(), stage, "", "")


def _write(path: Path, columns: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(columns)
        writer.writerows(rows)
