"""What an export holds, and who gets it."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from django.core.management import call_command

from athletes.records import access
from athletes.records.models import Athlete
from athletes.records.viewer import Grant, Viewer
from coaching.usecases.export_bundle import export_bundle
from tests import bundles
from tests.bundles import ATHLETE, CHECKIN, LOOK, NOW, SPLIT

pytestmark = pytest.mark.django_db
OPERATOR = access.OPERATOR(date(2027, 3, 11))
TWO = [ATHLETE, ATHLETE | {"athlete_id": "a2", "name": "Mara Okonjo", "birth_date": "2012-01-01"}]
TABLES = {
    "athletes": TWO,
    "checkins": [CHECKIN, CHECKIN | {"athlete_id": "a2"}],
    "damage": [SPLIT],
    "damage_looks": [LOOK],
    "squads": [{"squad_id": "s1", "name": "S", "athlete_id": a["athlete_id"]} for a in TWO],
    "people": [
        {"person_id": "c", "name": "Coach", "role": "head-coach", "squad_id": "s1", "athlete_id": ""},
        {"person_id": "g", "name": "Parent", "role": "guardian", "squad_id": "s1", "athlete_id": "a2"},
    ],
}


def column(path: Path, name: str) -> list[str]:
    with path.open(newline="") as file:
        return [row[name] for row in csv.DictReader(file)]


def test_the_same_content_gives_the_same_bytes(tmp_path: Path) -> None:
    bundles.load(tmp_path / "b", TABLES)
    for name in ("x.zip", "y.zip"):
        export_bundle(tmp_path / name, viewer=OPERATOR, now=NOW, as_zip=True)
    assert (tmp_path / "x.zip").read_bytes() == (tmp_path / "y.zip").read_bytes()


def test_lines_end_as_rfc_4180_has_it(tmp_path: Path) -> None:
    bundles.load(tmp_path / "b", TABLES)
    export_bundle(tmp_path / "x", viewer=OPERATOR, now=NOW)
    data = (tmp_path / "x" / "checkins.csv").read_bytes()
    assert data.count(b"\r\n") == data.count(b"\n") == 3


def test_one_athletes_export_holds_nobody_else(tmp_path: Path) -> None:
    bundles.load(tmp_path / "b", TABLES)
    export_bundle(tmp_path / "x", viewer=OPERATOR, now=NOW, athlete_codes=["a2"])
    for file in ("athletes", "checkins", "squads"):
        assert column(tmp_path / "x" / f"{file}.csv", "athlete_id") == ["a2"]
    assert column(tmp_path / "x" / "people.csv", "person_id") == ["g"]
    assert not (tmp_path / "x" / "damage.csv").exists()


def test_only_the_athlete_the_guardian_and_the_operator_get_it(tmp_path: Path) -> None:
    bundles.load(tmp_path / "b", TABLES)
    a1, a2 = (Athlete.objects.get(code=code).id for code in ("a1", "a2"))
    stranger = Viewer(1, 1, NOW.date(), (Grant("athlete", None, a1),))
    guardian = replace(stranger, grants=(Grant("guardian", None, a2),))
    with pytest.raises(access.NotFound):
        export_bundle(tmp_path / "x", viewer=stranger, now=NOW, athlete_codes=["a2"])
    with pytest.raises(access.NotFound):
        export_bundle(tmp_path / "x", viewer=guardian, now=NOW)
    export_bundle(tmp_path / "x", viewer=guardian, now=NOW, athlete_codes=["a2"])
    assert (tmp_path / "x" / "athletes.csv").exists()


def test_nothing_is_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "x").mkdir()
    (tmp_path / "x" / "kept.txt").write_text("kept")
    with pytest.raises(SystemExit) as stop:
        call_command("export_bundle", tmp_path / "x")
    assert stop.value.code == 1 and "not empty" in capsys.readouterr().err
    assert [p.name for p in (tmp_path / "x").iterdir()] == ["kept.txt"]
