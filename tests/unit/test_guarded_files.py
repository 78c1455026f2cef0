"""What comes in as files and typed values: what is refused, by which name, and what is taken."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
import time_machine

from athletes.records.bundle import files, reading
from athletes.records.bundle.columns import TABLES
from athletes.records.bundle.report import BadBundle
from athletes.records.bundle.values import Column, admit, read
from athletes.records.errors import BadInput, NotFound
from coaching.usecases.export_bundle import export_bundle
from tests import bundles, stored
from tests.guarded import code, viewer


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


# --- values that come typed, not read

TYPED: list[tuple[str, Any, str]] = [
    ("text", 5, "not-text"),
    ("text", "a" * 9, "too-long"),
    ("text", "a\x01", "control-character"),
    ("day", stored.NOW, "not-a-date"),
    ("day", "2027-03-11", "not-a-date"),
    ("day", date(1899, 12, 31), "out-of-range"),
    ("instant", datetime(2027, 3, 11), "not-an-instant"),
    ("instant", date(2027, 3, 11), "not-an-instant"),
    ("instant", datetime(1, 1, 2, tzinfo=UTC), "out-of-range"),
    ("number", True, "not-a-number"),
    ("number", "5", "not-a-number"),
    ("number", float("nan"), "not-finite"),
    ("number", 10.5, "out-of-range"),
    ("whole", 5.5, "not-whole"),
    ("flag", "yes", "not-yes-or-no"),
    ("code", "c", "unknown-code"),
    ("site", "elbow", "unknown-site"),
    ("zone", "Europe/Nowhere", "unknown-timezone"),
    ("zone", 5, "unknown-timezone"),
    ("words", "a;b", "not-a-list"),
    ("words", 5, "not-a-list"),
    ("words", ["a;b"], "semicolon"),
    ("marks", ["L-index-tip"], "not-a-mark"),
    ("marks", [("L-index-tip", "pink", "more")], "not-a-mark"),
    ("marks", [("L-index-tip", "gold")], "unknown-code"),
]  # fmt: skip


def column(kind: str) -> Column:
    codes = ("pink",) if kind == "marks" else ("a", "b")
    return Column("it", kind, longest=8, low=0.0, high=10.0, codes=codes)


@pytest.mark.parametrize(("kind", "value", "word"), TYPED)
def test_a_typed_value_of_another_kind_is_refused(kind: str, value: Any, word: str) -> None:
    with pytest.raises(BadInput) as refused:
        admit(column(kind), value)
    assert (refused.value.field, code(refused.value.problem)) == ("it", word)


def test_values_of_their_kind_are_taken_as_they_are_stored() -> None:
    assert admit(column("number"), -0.0) == 0.0 and str(admit(column("number"), -0.0)) == "0.0"
    assert admit(column("number"), 10) == 10.0 and admit(column("whole"), 0.0) == 0
    assert admit(column("day"), date(2027, 3, 11)) == date(2027, 3, 11)
    vienna = datetime.fromisoformat("2027-03-11T10:00:00+01:00")
    assert admit(column("instant"), vienna) == datetime(2027, 3, 11, 9, tzinfo=UTC)
    assert admit(column("text"), " a\r\nb\rc ") == "a\nb\nc" and admit(column("text"), "a" * 8) == "a" * 8
    assert admit(column("flag"), False) is False
    assert admit(column("marks"), [["L-index-tip", "pink"]]) == (("L-index-tip", "pink"),)


def test_a_column_that_is_not_there_is_refused_by_name() -> None:
    with pytest.raises(BadInput, match="sleep"):
        TABLES["checkins.csv"].admit("sleep", 5)
    assert TABLES["checkins.csv"].admit("reserve", 5) == 5


# --- files

def bad(error: Any) -> list[str]:
    return [code(row.wrong) for row in error.value.rows]


def test_what_is_neither_folder_nor_zip_is_no_bundle(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("a")
    for path in (tmp_path / "a.txt", tmp_path / "nothing"):
        with pytest.raises(BadBundle) as error:
            files.contents(path)
        assert bad(error) == ["not-a-bundle"]


def test_a_folder_that_is_too_large_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = bundles.folder(tmp_path / "b", {})
    size = sum(one.stat().st_size for one in path.iterdir())
    monkeypatch.setattr(files, "LARGEST_BYTES", size)
    assert set(files.contents(path)) == {"manifest.json", "athletes.csv"}
    monkeypatch.setattr(files, "LARGEST_BYTES", size - 1)
    with pytest.raises(BadBundle) as error:
        files.contents(path)
    assert bad(error) == ["too-large"]


@pytest.mark.parametrize(("text", "said"), [
    ("{", ["JSON"]), ("[]", ["an object"]), ("{}", ["format", "version", "timezone", "made_at"]),
    (json.dumps({**bundles.MANIFEST, "version": True}), ["version"]),
    (json.dumps({**bundles.MANIFEST, "made_at": "soon"}), ["made_at"]),
    (json.dumps({**bundles.MANIFEST, "made_at": "2027-03-11T18:00:00"}), ["made_at"]),
])  # fmt: skip
def test_a_manifest_says_what_is_wrong_with_it(tmp_path: Path, text: str, said: list[str]) -> None:
    (tmp_path / "manifest.json").write_text(text)
    with pytest.raises(BadBundle) as error:
        reading.manifest(tmp_path)
    hints = [row.wrong for row in error.value.rows]
    assert len(hints) == len(said) and all(word in hint for word, hint in zip(said, hints, strict=True))


def test_a_folder_without_a_manifest_and_files_that_are_no_csv_are_refused(tmp_path: Path) -> None:
    with pytest.raises(BadBundle) as error:
        reading.manifest(tmp_path)
    assert bad(error) == ["no-manifest"]
    path = bundles.folder(tmp_path / "b", {})
    (path / "athletes.csv").write_bytes(b"athlete_id,name\na1,\xff\n")
    (path / "people.csv").write_text("")
    (path / "squads.csv").write_text('squad_id,athlete_id,name\n"s1,a\n')
    with pytest.raises(BadBundle) as error:
        reading.read_bundle(path)
    found = {row.file: (code(row.wrong), row.row) for row in error.value.rows}
    assert found["athletes.csv"] == ("not-utf-8", 2) and found["people.csv"] == ("no-header", 1)
    assert found["squads.csv"][0] == "not-csv"


def test_a_bundle_without_athletes_is_one(tmp_path: Path) -> None:
    (tmp_path / "manifest.json").write_text(json.dumps(bundles.MANIFEST))
    assert reading.read_bundle(tmp_path).tables == {}


@pytest.mark.django_db
def test_a_squad_that_is_called_otherwise_here_or_twice_is_refused(tmp_path: Path) -> None:
    squad = {"squad_id": "s1", "athlete_id": "a1"}
    bundles.load(tmp_path / "one", {"squads": [{**squad, "name": "Hall"}]})
    with pytest.raises(BadBundle) as error:
        bundles.load(tmp_path / "two", {"squads": [{**squad, "name": "Tower"}]})
    assert "differs-from-stored" in bad(error)
    two = [{"squad_id": "s2", "athlete_id": "a1", "name": name} for name in ("Hall", "Tower")]
    with pytest.raises(BadBundle) as error:
        bundles.load(tmp_path / "three", {"squads": two})
    assert "contradicts" in bad(error)


@pytest.mark.django_db
def test_only_who_it_is_of_takes_a_bundle_of_somebody(tmp_path: Path) -> None:
    squad = stored.squad()
    row = stored.athletes(["a1"], squad)[0]
    stored.share([row])
    coach, own = stored.login("head-coach", squad), stored.login("athlete", squad, [row])
    for codes in (["a1"], None):
        with pytest.raises(NotFound):
            export_bundle(tmp_path / "no", viewer=viewer(coach), now=stored.NOW, athlete_codes=codes)
    assert not (tmp_path / "no").exists()
    told = export_bundle(tmp_path / "own", viewer=viewer(own), now=stored.NOW, athlete_codes=["a1"])
    assert told.rows["athletes"] == 1


@pytest.mark.parametrize("text", ["soon", "20270310T07:00:00Z", "2027-13-10T07:00:00Z", "2027-03-10"])
def test_a_text_that_is_no_instant_is_refused(text: str) -> None:
    with pytest.raises(BadInput) as refused:
        read(column("instant"), text)
    assert code(refused.value.problem) == "not-an-instant"
    assert read(column("instant"), " 2027-03-10T07:00:00Z ") == datetime(2027, 3, 10, 7, tzinfo=UTC)
