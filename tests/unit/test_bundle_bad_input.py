"""Bad bundles: each error names file, row and column, and nothing is stored."""

from __future__ import annotations

import json
import stat
import zipfile
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from athletes.records.bundle import files
from athletes.records.bundle.reading import manifest
from athletes.records.bundle.report import BadBundle, BadRow
from athletes.records.models import Athlete, CheckIn, Club
from coaching.ledger.models import Staleness
from tests import bundles
from tests.bundles import ATHLETE, CHECKIN, EVENT, LOOK, MANIFEST, NOW, SESSION, SPLIT

pytestmark = pytest.mark.django_db


def refused(path: Path, tables: dict[str, bundles.Rows], **options: Any) -> tuple[BadRow, ...]:
    with pytest.raises(BadBundle) as error:
        bundles.load(path / "bundle", tables, **options)
    assert not Athlete.objects.exists() and not CheckIn.objects.exists()
    assert not Club.objects.exists() and not Staleness.objects.exists()
    return error.value.rows


def place(bad: BadRow) -> tuple[str, int | None, str | None]:
    return bad.file, bad.row, bad.column


@pytest.mark.parametrize(
    ("table", "row", "column"),
    [
        ("athletes", ATHLETE | {"birth_date": "2027-03-12"}, "birth_date"),
        ("checkins", CHECKIN | {"local_date": "2027-02-29"}, "local_date"),
        ("checkins", CHECKIN | {"local_date": "10.03.2027"}, "local_date"),
        ("checkins", CHECKIN | {"local_date": "20270310"}, "local_date"),
        ("checkins", CHECKIN | {"local_date": ""}, "local_date"),
        ("checkins", CHECKIN | {"reserve": "11"}, "reserve"),
        ("checkins", CHECKIN | {"reserve": "-1"}, "reserve"),
        ("checkins", CHECKIN | {"reserve": "5.5"}, "reserve"),
        ("checkins", CHECKIN | {"reserve": "NaN"}, "reserve"),
        ("checkins", CHECKIN | {"reserve": "٥"}, "reserve"),
        ("checkins", CHECKIN | {"seconds": "inf"}, "seconds"),
        ("checkins", CHECKIN | {"seconds": "1e999"}, "seconds"),
        ("checkins", CHECKIN | {"made_at": "2027-03-10T07:00:00"}, "made_at"),
        ("checkins", CHECKIN | {"agent_used": "maybe"}, "agent_used"),
        ("checkins", CHECKIN | {"marks": "L-thumb-middle=pink"}, "marks"),
        ("checkins", CHECKIN | {"marks": "L-index-tip"}, "marks"),
        ("checkins", CHECKIN | {"red_flags": "sad"}, "red_flags"),
        ("checkins", CHECKIN | {"note": "a\x00b"}, "note"),
        ("checkins", CHECKIN | {"athlete_id": "nobody"}, "athlete_id"),
        ("sessions", SESSION | {"minutes": "nan"}, "minutes"),
        ("sessions", SESSION | {"rpe": "10.5"}, "rpe"),
        ("sessions", SESSION | {"planned": ""}, "planned"),
        ("sessions", SESSION | {"place_id": "p9"}, "place_id"),
        ("events", EVENT | {"last_day": "2027-03-19"}, "last_day"),
        ("events", EVENT | {"timezone": "Europe/Nowhere"}, "timezone"),
        ("damage", SPLIT | {"site": "X-index-tip"}, "site"),
        ("damage_looks", LOOK, "episode_id"),
        ("people", {"person_id": "p1", "name": "N", "role": "guardian", "squad_id": ""}, "athlete_id"),
        (
            "care",
            {"athlete_id": "a1", "local_date": "2027-03-10", "status": "done", "verb": "dry", "form": "sand"},
            "form",
        ),
    ],
)
def test_a_bad_value_is_named_with_its_row_and_column(
    tmp_path: Path, table: str, row: dict[str, Any], column: str
) -> None:
    (bad,) = refused(tmp_path, {table: [row]})
    assert place(bad) == (f"{table}.csv", 2, column)


def test_one_bad_row_in_the_middle_stores_nothing(tmp_path: Path) -> None:
    days = [CHECKIN | {"local_date": f"2027-03-{day:02}"} for day in range(1, 10)]
    days[4]["sting"] = 11
    (bad,) = refused(tmp_path, {"checkins": days})
    assert place(bad) == ("checkins.csv", 6, "sting")
    assert "'11'" in str(bad) and "0 to 10" in str(bad)


def test_every_bad_row_is_reported(tmp_path: Path) -> None:
    rows = [CHECKIN | {"local_date": f"2027-03-{day:02}", "reserve": 20 + day} for day in range(1, 8)]
    bad = refused(tmp_path, {"checkins": rows, "sessions": [SESSION | {"rpe": "x"}]})
    assert [b.row for b in bad if b.file == "checkins.csv"] == list(range(2, 9))
    assert [place(b) for b in bad if b.file == "sessions.csv"] == [("sessions.csv", 2, "rpe")]


def test_an_unknown_column_is_named(tmp_path: Path) -> None:
    (bad,) = refused(tmp_path, {"checkins": [CHECKIN | {"mood": 3}]})
    assert place(bad) == ("checkins.csv", 1, "mood")


def test_a_column_that_must_be_there_is_named(tmp_path: Path) -> None:
    row = {name: value for name, value in SESSION.items() if name != "rpe"}
    (bad,) = refused(tmp_path, {"sessions": [row]})
    assert place(bad) == ("sessions.csv", 1, "rpe")


def test_an_unknown_file_is_named(tmp_path: Path) -> None:
    (bad,) = refused(tmp_path, {"moods": [{"a": 1}]})
    assert bad.file == "moods.csv"


def test_two_different_checkins_of_one_day_are_refused(tmp_path: Path) -> None:
    (bad,) = refused(tmp_path, {"checkins": [CHECKIN, CHECKIN | {"reserve": 2}]})
    assert place(bad) == ("checkins.csv", 3, "local_date")


def test_a_row_with_too_many_cells_is_numbered(tmp_path: Path) -> None:
    path = bundles.folder(tmp_path / "bundle", {"checkins": [CHECKIN]})
    with (path / "checkins.csv").open("a") as file:
        file.write("a1,2027-03-11,5,5,5,5\n")
    with pytest.raises(BadBundle) as error:
        bundles.import_bundle(path, club_name="Club", now=NOW)
    assert error.value.rows[0].row == 3


def test_text_that_is_not_utf_8_is_numbered(tmp_path: Path) -> None:
    path = bundles.folder(tmp_path / "bundle", {})
    (path / "athletes.csv").write_bytes(b"athlete_id,name,birth_date\na1,Ay\xf3,\n")
    with pytest.raises(BadBundle) as error:
        bundles.import_bundle(path, club_name="Club", now=NOW)
    assert place(error.value.rows[0]) == ("athletes.csv", 2, None)


@pytest.mark.parametrize(
    "change", [{"format": "x"}, {"version": 2}, {"timezone": "Mars"}, {"made_at": "today"}]
)
def test_a_manifest_that_does_not_fit_is_refused(tmp_path: Path, change: dict[str, Any]) -> None:
    path = bundles.folder(tmp_path / "bundle", {}, MANIFEST | change)
    with pytest.raises(BadBundle, match=next(iter(change))):
        bundles.import_bundle(path, club_name="Club", now=NOW)


def test_a_manifest_of_another_version_is_told_what_it_says(tmp_path: Path) -> None:
    with pytest.raises(BadBundle, match=r'"version": 1, not 7'):
        manifest(bundles.folder(tmp_path / "7", {}, MANIFEST | {"version": 7}))
    none = {name: value for name, value in MANIFEST.items() if name != "version"}
    with pytest.raises(BadBundle, match=r'"version": 1, it is missing'):
        manifest(bundles.folder(tmp_path / "none", {}, none))


def test_who_is_born_on_the_day_the_bundle_was_made_is_taken(tmp_path: Path) -> None:
    bundles.load(tmp_path / "b", {"athletes": [ATHLETE | {"birth_date": "2027-03-11"}]})
    assert Athlete.objects.count() == 1


def test_a_folder_in_the_place_of_a_file_is_named(tmp_path: Path) -> None:
    path = bundles.folder(tmp_path / "bundle", {})
    (path / "away.csv").mkdir()
    with pytest.raises(BadBundle, match=r"away\.csv: is a folder"):
        bundles.import_bundle(path, club_name="Club", now=NOW)


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_zip_that_holds_a_name_twice_says_so(tmp_path: Path) -> None:
    path = bundles.zipped(tmp_path / "b.zip", GOOD)
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr("athletes.csv", GOOD["athletes.csv"])
    with pytest.raises(BadBundle, match=r"athletes\.csv: stands in the zip more than once"):
        bundles.import_bundle(path, club_name="Club", now=NOW)


GOOD = {"manifest.json": json.dumps(MANIFEST), "athletes.csv": "athlete_id,name,birth_date\na1,Ayo,\n"}


@pytest.mark.parametrize(
    "name",
    ["../evil.csv", "/etc/evil.csv", "a/../../evil.csv", "..\\evil.csv", "C:evil.csv", "../athletes.csv"],
)
def test_a_zip_with_a_path_outside_itself_is_refused(tmp_path: Path, name: str) -> None:
    path = bundles.zipped(tmp_path / "b.zip", GOOD | {name: "x\n"})
    with pytest.raises(BadBundle) as error:
        bundles.import_bundle(path, club_name="Club", now=NOW)
    assert name in error.value.rows[0].file
    assert not Athlete.objects.exists() and sorted(p.name for p in tmp_path.iterdir()) == ["b.zip"]


def test_a_zip_with_a_link_is_refused(tmp_path: Path) -> None:
    path = bundles.zipped(tmp_path / "b.zip", GOOD)
    with zipfile.ZipFile(path, "a") as archive:
        link = zipfile.ZipInfo("events.csv")
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(link, "/etc/passwd")
    with pytest.raises(BadBundle, match=r"events\.csv"):
        bundles.import_bundle(path, club_name="Club", now=NOW)


def test_a_zip_that_unpacks_too_large_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = bundles.zipped(tmp_path / "b.zip", GOOD | {"events.csv": "x" * 5000})
    monkeypatch.setattr(files, "LARGEST_BYTES", 4000)
    with pytest.raises(BadBundle, match="4,000"):
        bundles.import_bundle(path, club_name="Club", now=NOW)


def test_a_broken_zip_is_refused(tmp_path: Path) -> None:
    path = bundles.zipped(tmp_path / "b.zip", GOOD)
    data = bytearray(path.read_bytes())
    data[60] ^= 0xFF
    path.write_bytes(bytes(data))
    with pytest.raises(BadBundle):
        bundles.import_bundle(path, club_name="Club", now=NOW)


def test_the_command_says_what_is_wrong_and_leaves_with_1(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = bundles.folder(tmp_path / "bundle", {"checkins": [CHECKIN | {"reserve": 11}]})
    with pytest.raises(SystemExit) as stop:
        call_command("import_bundle", path)
    told = capsys.readouterr()
    assert stop.value.code == 1
    assert "checkins.csv, row 2, column reserve" in told.err and "Traceback" not in told.err
