"""Good bundles: what is stored, what a second import does, what a move in time does."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from django.core.management import call_command

from athletes.records.bundle.report import BadBundle
from athletes.records.models import Athlete, Care, CheckIn, Consent, Event, Session, Squad
from coaching.ledger.models import Staleness
from tests import bundles
from tests.bundles import CHECKIN, EVENT, LOOK, NOW, SESSION, SPLIT

pytestmark = pytest.mark.django_db
CARE = {"athlete_id": "a1", "local_date": "2027-03-10", "status": "done", "verb": "even", "form": "sand"}
WHOLE = {
    "checkins": [CHECKIN],
    "sessions": [SESSION, SESSION],
    "care": [CARE],
    "damage": [SPLIT],
    "damage_looks": [LOOK],
    "events": [EVENT],
    "entries": [{"event_id": "e1", "athlete_id": "a1"}],
    "squads": [{"squad_id": "s1", "name": "Squad", "athlete_id": "a1"}],
    "people": [{"person_id": "p1", "name": "Coach", "role": "head-coach", "squad_id": "s1"}],
}


def test_importing_twice_changes_nothing(tmp_path: Path) -> None:
    first = bundles.load(tmp_path / "b", WHOLE)
    again = bundles.load(tmp_path / "b", WHOLE)
    assert sum(again.stored.values()) == 0 and again.already == first.stored
    assert again.athlete_ids == () and again.digest == first.digest
    assert Session.objects.count() == 2  # two equal rows are two sessions


def test_rows_without_an_id_are_a_multiset(tmp_path: Path) -> None:
    bundles.load(tmp_path / "a", {"sessions": [SESSION]})
    report = bundles.load(tmp_path / "b", {"sessions": [SESSION, SESSION, SESSION]})
    assert (report.stored["sessions"], report.already["sessions"]) == (2, 1)


def test_an_empty_cell_is_not_known_and_never_nought(tmp_path: Path) -> None:
    bundles.load(tmp_path / "b", {"checkins": [CHECKIN | {"dampness": "", "sting": "0"}]})
    row = CheckIn.objects.get()
    assert (row.dampness, row.sting, row.hardness) == (None, 0, None)


def test_a_different_checkin_for_a_stored_day_is_a_bad_row(tmp_path: Path) -> None:
    bundles.load(tmp_path / "a", {"checkins": [CHECKIN]})
    other = [CHECKIN | {"local_date": "2027-03-09"}, CHECKIN | {"reserve": 2}]
    with pytest.raises(BadBundle) as error:
        bundles.load(tmp_path / "b", {"checkins": other})
    (bad,) = error.value.rows
    assert (bad.file, bad.row, bad.column, bad.value) == ("checkins.csv", 3, "reserve", "2")
    assert CheckIn.objects.count() == 1


def test_an_athlete_whose_profile_differs_is_a_bad_row(tmp_path: Path) -> None:
    bundles.load(tmp_path / "a", {})
    with pytest.raises(BadBundle, match=r"athletes\.csv, row 2, column name"):
        bundles.load(tmp_path / "b", {"athletes": [bundles.ATHLETE | {"name": "Someone Else"}]})


def test_without_consents_nothing_is_shared(tmp_path: Path) -> None:
    bundles.load(tmp_path / "b", WHOLE)
    assert not Consent.objects.exists()


def test_those_concerned_become_stale_in_the_same_transaction(tmp_path: Path) -> None:
    others = [bundles.ATHLETE, bundles.ATHLETE | {"athlete_id": "a2"}]
    bundles.load(tmp_path / "a", {"athletes": others})
    revisions = dict(Staleness.objects.values_list("athlete_id", "input_rev"))
    assert set(revisions.values()) == {1}
    bundles.load(tmp_path / "b", {"athletes": others, "checkins": [CHECKIN]})
    a1 = Athlete.objects.get(code="a1").id
    assert dict(Staleness.objects.values_list("athlete_id", "input_rev")) == revisions | {a1: 2}


def test_an_event_whose_entries_are_stored_already_makes_them_stale(tmp_path: Path) -> None:
    place = {"place_id": "p1", "name": "Arena"}
    event = EVENT | {"place_id": "p1"}
    entries = [{"event_id": "e1", "athlete_id": "a1"}]
    bundles.load(tmp_path / "a", {"places": [place], "events": [event], "entries": entries})
    air = {"place_id": "p1", "starts_at": "2027-03-20T12:00:00Z", "temp_c": 20, "rh_pct": 50}
    report = bundles.load(tmp_path / "b", {"places": [place], "air": [air]})
    assert report.athlete_ids == (Athlete.objects.get().id,)


@pytest.mark.parametrize("days", [14, 17])
def test_dates_move_and_the_wall_clock_stays(tmp_path: Path, days: int) -> None:
    """Vienna keeps summer time from 28 March 2027 on: 18:00 is 17:00 UTC before and 16:00 UTC after."""
    event = EVENT | {"entry_deadline": "2027-03-18T18:00:00+01:00"}
    bundles.load(tmp_path / "b", {"events": [event], "checkins": [CHECKIN]}, shift_days=days)
    moved = Event.objects.get()
    on = timedelta(days=days)
    assert moved.first_day == date(2027, 3, 20) + on
    assert moved.entry_deadline == datetime(2027, 3, 18, 16, tzinfo=UTC) + on
    assert CheckIn.objects.get().local_date == date(2027, 3, 10) + on


def test_a_byte_order_mark_and_spaces_do_no_harm(tmp_path: Path) -> None:
    path = bundles.folder(tmp_path / "b", {})
    text = "\ufeffathlete_id, name ,birth_date\r\na1, Ayo ,\r\n\r\n"
    (path / "athletes.csv").write_text(text, encoding="utf-8", newline="")
    bundles.import_bundle(path, club_name="Club", now=NOW)
    assert (Athlete.objects.get().name, Athlete.objects.get().timezone) == ("Ayo", "Europe/Vienna")


def test_a_zip_with_its_files_in_one_folder_is_read(tmp_path: Path) -> None:
    folder = bundles.folder(tmp_path / "b", {"checkins": [CHECKIN]})
    members = {f"b/{file.name}": file.read_text() for file in folder.iterdir()}
    path = bundles.zipped(tmp_path / "b.zip", members)
    assert bundles.import_bundle(path, club_name="Club", now=NOW).stored["checkins"] == 1


def test_squads_named_by_people_alone_are_without_members(tmp_path: Path) -> None:
    bundles.load(tmp_path / "b", {"people": WHOLE["people"]})
    assert Squad.objects.get().code == "s1" and Squad.objects.get().memberships.count() == 0


def test_the_command_prints_the_digest(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = bundles.folder(tmp_path / "b", WHOLE)
    call_command("import_bundle", path)
    told = capsys.readouterr().out
    assert "checkins: 1 stored" in told and "digest " in told
    assert Care.objects.count() == 1
