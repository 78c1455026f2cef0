"""A bundle alone, assessed: the same bytes each time, and the installation's own database is left alone."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db import connection, connections

from athletes.records.access import NotFound
from athletes.records.bundle.report import BadBundle
from athletes.records.models import Athlete
from coaching.usecases import conclude
from coaching.usecases.assess import assess
from coaching.usecases.throwaway import throwaway_database
from tests import bundles
from tests.bundles import ATHLETE, CHECKIN, EVENT, LOOK, SESSION, SPLIT

pytestmark = pytest.mark.django_db
AS_OF = date(2027, 3, 11)
NAMES = ("b2", "a1", "c3")


@pytest.fixture
def bundle(tmp_path: Path) -> Path:
    dates = [(AS_OF - timedelta(days=n)).isoformat() for n in range(12)]
    tables = {
        "athletes": [
            ATHLETE | {"athlete_id": code, "sensitivities": "rosin;latex;adhesive"} for code in NAMES
        ],
        "checkins": [CHECKIN | {"athlete_id": code, "local_date": day} for code in NAMES for day in dates],
        "sessions": [SESSION],
        "damage": [SPLIT],
        "damage_looks": [LOOK],
        "events": [EVENT],
        "entries": [{"event_id": "e1", "athlete_id": code} for code in ("a1", "c3")],
    }
    return bundles.folder(tmp_path / "assessed", tables)


def bad(path: Path) -> Path:
    rows = [
        CHECKIN,
        CHECKIN | {"local_date": "2027-03-09", "reserve": 11},
        CHECKIN | {"local_date": "2027-03-08"},
    ]
    return bundles.folder(path / "bad", {"checkins": rows})


def counts() -> dict[str, int]:
    return {model._meta.label: model._default_manager.count() for model in apps.get_models()}


@contextmanager
def untouched() -> Iterator[None]:
    """Whatever happens inside, this installation keeps its connection, its place and its rows."""
    before, settings, own = counts(), connections.settings["default"], connections["default"]
    yield
    assert connections["default"] is own and connections.settings["default"] is settings
    assert own.is_usable() and counts() == before


def command(bundle: Path, capsys: pytest.CaptureFixture[str], *options: str) -> str:
    call_command("assess", bundle, "--as-of", AS_OF.isoformat(), *options)
    return capsys.readouterr().out


def test_twice_is_the_same_bytes(bundle: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first = command(bundle, capsys)
    assert command(bundle, capsys) == first and json.loads(first)["as_of"] == "2027-03-11"


def test_the_order_of_rows_changes_no_byte(bundle: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first = command(bundle, capsys)
    for file in bundle.glob("*.csv"):
        head, *rows = file.read_text().splitlines()
        file.write_text("\n".join([head, *reversed(rows)]) + "\n")
    assert command(bundle, capsys) == first


def test_the_installation_is_not_touched(bundle: Path, tmp_path: Path) -> None:
    """Though it holds an athlete of the same code."""
    bundles.load(tmp_path / "own", {"athletes": [ATHLETE | {"name": "Our own"}], "checkins": [CHECKIN]})
    with untouched():
        assert len(assess(bundle, AS_OF)["athletes"]) == 3
    assert Athlete.objects.get().name == "Our own" and Athlete.objects.get().checkins.count() == 1


def test_an_error_inside_leaves_the_installation_whole(bundle: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(conclude, "concluded", lambda ids, as_of: 1 / 0)
    with untouched(), pytest.raises(ZeroDivisionError):
        assess(bundle, AS_OF)


def test_a_database_that_cannot_be_made_leaves_the_installation_whole(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(connections, "create_connection", lambda alias: 1 / 0)
    with untouched(), pytest.raises(ZeroDivisionError), throwaway_database():
        pytest.fail("not reached")


def test_a_throwaway_database_is_gone_afterwards() -> None:
    with throwaway_database():
        path = Path(connection.settings_dict["NAME"])
        assert path.exists() and Athlete.objects.count() == 0
    assert not path.exists() and not path.parent.exists()


def test_a_bad_bundle_is_told_row_by_row(tmp_path: Path) -> None:
    with untouched(), pytest.raises(BadBundle) as told:
        assess(bad(tmp_path), AS_OF)
    assert [(r.file, r.row, r.column) for r in told.value.rows] == [("checkins.csv", 3, "reserve")]


def test_the_command_tells_the_bad_row(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with untouched(), pytest.raises(CommandError, match="checkins.csv, row 3, column reserve: '11'"):
        command(bad(tmp_path), capsys)


def test_only_the_named_athletes_are_answered_for(bundle: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """And their answers are those they have among all."""
    everybody = json.loads(command(bundle, capsys))
    some = json.loads(command(bundle, capsys, "--athlete", "c3", "--athlete", "b2"))
    assert [a["athlete_id"] for a in some["athletes"]] == ["b2", "c3"]
    for part in ("athletes", "entries"):
        assert some[part] == [x for x in everybody[part] if x["athlete_id"] in ("b2", "c3")]


def test_unknown_athletes_are_named(bundle: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with untouched(), pytest.raises(NotFound, match="^x8, x9$"):
        assess(bundle, AS_OF, ["x9", "a1", "x8"])
    with pytest.raises(CommandError, match="no athlete x9"):
        command(bundle, capsys, "--athlete", "x9")


def test_a_day_that_is_none_is_named(bundle: Path) -> None:
    with pytest.raises(CommandError, match="--as-of must be a day"):
        call_command("assess", bundle, "--as-of", "11.3.2027")


@pytest.mark.parametrize("day", ["9999-12-31", "2201-01-01", "1969-12-31", "1000-01-01"])
def test_a_day_that_no_squad_has_is_refused(bundle: Path, day: str) -> None:
    with pytest.raises(CommandError, match=f"from 1970 to 2200: {day}"):
        call_command("assess", bundle, "--as-of", day)


@pytest.mark.parametrize("day", ["1970-01-01", "2200-12-31"])
def test_the_first_and_the_last_day_are_answered(
    bundle: Path, capsys: pytest.CaptureFixture[str], day: str
) -> None:
    call_command("assess", bundle, "--as-of", day)
    assert json.loads(capsys.readouterr().out)["as_of"] == day


@pytest.mark.parametrize("name", ["missing/x.json", "."])
def test_a_file_that_cannot_be_written_is_told_before_anything_is_computed(
    bundle: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.setattr(conclude, "concluded", lambda ids, as_of: pytest.fail("computed"))
    with pytest.raises(CommandError, match="^--out"):
        call_command("assess", bundle, "--as-of", AS_OF.isoformat(), "--out", str(tmp_path / name))


def test_an_error_of_ours_is_not_blamed_on_the_day(bundle: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(conclude, "concluded", lambda ids, as_of: int("ours"))
    with pytest.raises(ValueError, match="ours"):
        call_command("assess", bundle, "--as-of", "2027-03-11")


def test_what_is_no_bundle_is_named(tmp_path: Path) -> None:
    with untouched(), pytest.raises(CommandError, match="missing"):
        call_command("assess", tmp_path / "missing", "--as-of", "2027-03-11")


def test_every_key_is_there_whatever_is_known(bundle: Path) -> None:
    found: dict[str, Any] = assess(bundle, AS_OF)
    assert set(found) == {"as_of", "model", "rulebook", "entries", "athletes"}
    keys = {"athlete_id", "medical", "known_until", "today", "limits", "steps", "refused"}
    assert all(set(athlete) == keys for athlete in found["athletes"])
    assert {"level", "readiness", "reasons", "deadlines", "fallbacks"} <= set(found["entries"][0])


def test_the_answer_goes_into_a_file_where_asked(
    bundle: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = command(bundle, capsys)
    assert command(bundle, capsys, "--out", str(tmp_path / "out.json")) == ""
    assert (tmp_path / "out.json").read_text(encoding="utf-8") == told
