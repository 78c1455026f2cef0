"""Where a bundle's files say what is wrong, which rows of a squad say anything, what words of consent they bring."""

from __future__ import annotations

import stat
import zipfile
from datetime import date
from pathlib import Path

import pytest

from athletes.records import access, access_words
from athletes.records.bundle import files, reading
from athletes.records.bundle.columns import TABLES
from athletes.records.bundle.problems import PROBLEMS
from athletes.records.bundle.report import BadBundle, BadRow
from athletes.records.models import Athlete, Consent, Membership, Squad
from coaching.usecases.export_bundle import export_bundle
from tests import bundles


def test_a_file_that_is_not_utf_8_is_refused_at_the_line_that_an_editor_shows() -> None:
    """Lines are counted from the first one, an empty one too."""
    for before, line in ((b"", 1), (b"athlete_id,name\n", 2), (b"\nathlete_id,name\n", 3), (b"\n\n", 3)):
        _, (wrong,) = reading.read_table(TABLES["athletes.csv"], before + b"a1,\xff\n")
        assert (wrong.file, wrong.row) == ("athletes.csv", line)


def squads(path: Path, rows: bundles.Rows) -> reading.Bundle:
    return reading.read_bundle(bundles.folder(path, {"squads": rows}))


def test_a_row_of_a_squad_alone_says_something_only_where_nobody_is_in_it(tmp_path: Path) -> None:
    hall = {"squad_id": "s1", "name": "Hall", "athlete_id": ""}
    empty = {"squad_id": "s2", "name": "Tower", "athlete_id": ""}
    member = {**hall, "athlete_id": "a1"}
    both = squads(tmp_path / "both", [hall, member, empty])
    plain = squads(tmp_path / "plain", [member, empty])
    assert both.rows("squads.csv") == [("s1", "Hall", "a1"), ("s2", "Tower", None)] == plain.rows("squads.csv")
    assert both.tables["squads.csv"].numbers == [3, 4], "each on the line of the file on which it stands"
    assert both.digest() == plain.digest()
    nobody = squads(tmp_path / "nobody", [hall, empty])
    assert [row[0] for row in nobody.rows("squads.csv")] == ["s1", "s2"] and nobody.digest() != plain.digest()


def refused(error: pytest.ExceptionInfo[BadBundle]) -> list[tuple[str, int | None, str | None, str]]:
    return [(one.file, one.row, one.column, one.value) for one in error.value.rows]


def said(code: str, hint: str = "") -> str:
    return str(PROBLEMS[code][0]).format(hint=hint)


def test_a_header_with_a_name_twice_is_refused_in_its_row() -> None:
    rows, (wrong,) = reading.read_table(TABLES["athletes.csv"], b"athlete_id,name,name,birth_date\na1,Ada,Ida,\n")
    assert (rows.rows, wrong.row, wrong.column, wrong.wrong) == ([], 1, "name", said("column-twice"))
    _, wrong_rows = reading.read_table(TABLES["athletes.csv"], b"name,birth_date,shoe\nAda,,38\n")
    assert {(one.row, one.column, one.wrong) for one in wrong_rows} == {
        (1, "shoe", said("unknown-column", ", ".join(TABLES["athletes.csv"].names))),
        (1, "athlete_id", said("no-column")),
    }


@pytest.mark.parametrize("name", ["/events.csv", "../events.csv", "x\\events.csv", "c:events.csv"])
def test_a_name_that_leads_out_of_the_zip_is_refused_as_that_and_nothing_is_read(tmp_path: Path, name: str) -> None:
    """Whatever stands in it, a good file too (CWE-22, path traversal)."""
    path = bundles.zipped(tmp_path / "b.zip", {name: "event_id,name\n"})
    with pytest.raises(BadBundle) as error:
        files.contents(path)
    assert [(one.file, one.wrong) for one in error.value.rows] == [(name, said("path-outside"))]


def test_a_link_in_a_zip_is_refused_as_a_link_though_what_it_holds_would_do(tmp_path: Path) -> None:
    path = tmp_path / "b.zip"
    link = zipfile.ZipInfo("events.csv")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(link, ",".join(TABLES["events.csv"].names) + "\n")
    with pytest.raises(BadBundle) as error:
        files.contents(path)
    assert [(one.file, one.wrong) for one in error.value.rows] == [("events.csv", said("link"))]


@pytest.mark.django_db
def test_a_name_that_contradicts_is_shown_with_the_row_that_it_contradicts(tmp_path: Path) -> None:
    two = [{"squad_id": "s2", "athlete_id": code, "name": name} for code, name in (("a1", "Hall"), ("a2", "Tower"))]
    both = [bundles.ATHLETE, {**bundles.ATHLETE, "athlete_id": "a2"}]
    with pytest.raises(BadBundle) as error:
        bundles.load(tmp_path / "one", {"athletes": both, "squads": two})
    (wrong,) = error.value.rows
    assert (wrong.file, wrong.row, wrong.column, wrong.value) == ("squads.csv", 3, "name", "Tower")
    assert wrong.wrong == said("contradicts", "2")
    bundles.load(tmp_path / "two", {"athletes": both, "squads": two[:1]})
    with pytest.raises(BadBundle) as error:
        bundles.load(tmp_path / "three", {"athletes": both, "squads": [{**two[0], "name": "Tower"}]})
    wrongs: tuple[BadRow, ...] = error.value.rows
    assert {(one.value, one.wrong) for one in wrongs} == {("Tower", said("differs-from-stored"))}


@pytest.mark.django_db
def test_a_word_that_a_bundle_takes_back_counts_until_that_day_and_the_next_one_stands(tmp_path: Path) -> None:
    told = {"athlete_id": "a1", "grantee_role": "head-coach", "class": "level", "purpose": "coaching"}
    words = [
        {**told, "given_on": "2027-01-01", "until": "", "withdrawn_on": "2027-02-01"},
        {**told, "given_on": "2027-03-01", "until": "", "withdrawn_on": ""},
    ]
    report = bundles.load(tmp_path / "b", {"consents": words})
    row = Athlete.objects.get(code="a1")
    days = [date(2027, 1, 15), date(2027, 2, 15), date(2027, 3, 10)]
    assert [access_words.live(day, [row.pk], None).count() for day in days] == [1, 0, 1]
    withdrawal = Consent.objects.get(ends__isnull=False)
    assert (withdrawal.given_on, withdrawal.ends.given_on) == (date(2027, 2, 1), date(2027, 1, 1))
    again = export_bundle(
        tmp_path / "again", viewer=access.OPERATOR(date(2027, 3, 11)), now=bundles.NOW, athlete_codes=["a1"]
    )
    assert again.digest == report.digest
    assert bundles.load(tmp_path / "b", {"consents": words}).stored["consents"] == 0, "twice is the same as once"


@pytest.mark.django_db
def test_somebody_new_in_a_squad_that_is_stored_joins_it(tmp_path: Path) -> None:
    both = [bundles.ATHLETE, {**bundles.ATHLETE, "athlete_id": "a2"}]
    rows = [{"squad_id": "s1", "athlete_id": code, "name": "Hall"} for code in ("a1", "a2")]
    bundles.load(tmp_path / "one", {"squads": rows[:1]})
    hall = Squad.objects.get(code="s1")
    report = bundles.load(tmp_path / "two", {"athletes": both, "squads": rows})
    assert (report.stored["squads"], report.already["squads"]) == (1, 1) and Squad.objects.get() == hall
    assert list(Membership.objects.order_by("id").values_list("squad", "athlete__code")) == [
        (hall.pk, "a1"), (hall.pk, "a2"),
    ]  # fmt: skip


@pytest.mark.django_db
def test_a_squad_with_nobody_in_it_is_stored_once_however_often_it_is_sent(tmp_path: Path) -> None:
    rows = [{"squad_id": code, "athlete_id": "", "name": "Hall"} for code in ("s1", "s2")]
    assert bundles.load(tmp_path / "one", {"squads": rows[:1]}).stored["squads"] == 1
    again = bundles.load(tmp_path / "two", {"squads": rows})
    assert (again.stored["squads"], again.already["squads"]) == (1, 1) and Squad.objects.count() == 2
