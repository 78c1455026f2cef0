"""An erased athlete is nowhere: tables, file, dump, ledger, memory, a restored older backup after the replay."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client

from athletes.records import access, erasing
from athletes.records.errors import NotFound
from athletes.records.models import Account, Athlete, Erased, ErasureAsked, Person, Role
from coaching.pages.kept import Kept
from coaching.usecases import erase, retention
from tests import databases, stored
from tests.bars import canary
from tests.bars.canary import CANARY


@pytest.fixture(autouse=True)
def ledger(tmp_path: Path, settings) -> Iterator[Path]:
    settings.TENPADS_ERASURES = tmp_path / "ledger" / "erasures.jsonl"
    with time_machine.travel(stored.NOW, tick=False):
        yield settings.TENPADS_ERASURES


@pytest.fixture
def unblocked(django_db_blocker: Any) -> Iterator[None]:
    """For a database of the test's own."""
    with django_db_blocker.unblock():
        yield


def leave_bytes_behind() -> None:
    """As SQLite does unless it was built otherwise (sqlite.org/pragma.html#pragma_secure_delete)."""
    connection.cursor().execute("PRAGMA secure_delete = OFF")


@pytest.mark.django_db
def test_every_table_that_reaches_an_athlete_is_erased_from_and_nobody_else_loses_a_row() -> None:
    squad = stored.squad()
    first, second = canary.athlete(1, squad), canary.athlete(2, squad)
    for number, row in enumerate((first, second), 1):
        canary.sing_everywhere(row, number)
        assert canary.text_columns_without(f"{CANARY}{number}") == UNTOUCHED
    before = canary.in_tables(f"{CANARY}2")
    assert erase.erase_now(first.code) > 25
    assert canary.in_tables(f"{CANARY}1") == [] and canary.in_tables(f"{CANARY}2") == before
    assert Athlete.objects.get() == second and Account.objects.filter(username="coach1").exists()
    with connection.cursor() as cursor:
        connection.check_constraints()
        cursor.execute("SELECT subject FROM records_erased")
        assert cursor.fetchall() == [(first.id,)]


UNTOUCHED: list[str] = []
"""Columns of free text that the canary cannot sing in, each with its reason."""


@pytest.mark.django_db
def test_planted_a_table_that_the_walk_does_not_see_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(erasing, "keyed_without_reference", lambda: iter(()))
    row = canary.athlete(1, stored.squad())
    erase.erase_now(row.code)
    assert {"ledger_conclusion.picture", "ledger_staleness.failure"} <= set(canary.in_tables())


@pytest.mark.django_db
def test_people_with_another_role_stay_and_a_coach_who_climbs_loses_only_what_is_theirs_as_an_athlete() -> None:
    squad = stored.squad()
    row = canary.athlete(1, squad)
    other = stored.athletes(["a2"], squad)[0]
    Role.objects.create(person=Person.objects.get(code=f"{CANARY}1g"), role="guardian", athlete=other)
    Role.objects.create(person=Person.objects.get(code=f"{CANARY}1p"), role="head-coach", squad=squad)
    erase.erase_now(row.code)
    assert set(Role.objects.values_list("person__code", "role")) == {
        (f"{CANARY}1g", "guardian"), (f"{CANARY}1p", "head-coach"),
    }  # fmt: skip


@pytest.mark.usefixtures("unblocked")
def test_on_sqlite_no_byte_of_the_file_is_left_and_a_restored_copy_goes_again(tmp_path: Path, ledger: Path) -> None:
    data = tmp_path / "data"
    data.mkdir()
    with databases.filed(data):
        leave_bytes_behind()
        code = canary.athlete(1, stored.squad()).code
        connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
        shutil.copy(data / "filed.sqlite3", tmp_path / "backup")
        assert canary.in_files(data) == ["filed.sqlite3"]
        erase.erase_now(code)
        assert canary.in_files(data) == [] and canary.in_files(ledger.parent) == []
    (data / "filed.sqlite3").unlink()
    (data / "filed.sqlite3").write_bytes((tmp_path / "backup").read_bytes())
    with databases.pointed_at(f"sqlite:///{data / 'filed.sqlite3'}"):
        assert canary.in_tables() != []
        call_command("replay_erasures", verbosity=0)
        assert canary.in_tables() == []
        assert erase.replay() == 0
    assert canary.in_files(data) == []


@pytest.mark.usefixtures("unblocked")
def test_planted_without_the_file_made_anew_bytes_are_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from athletes.records import erasures

    monkeypatch.setattr(erasures, "from_the_disk", lambda: None)
    with databases.filed(tmp_path):
        leave_bytes_behind()
        erase.erase_now(canary.athlete(1, stored.squad()).code)
    assert canary.in_files(tmp_path) != []


@pytest.mark.service
@pytest.mark.usefixtures("unblocked")
def test_on_postgresql_the_dump_holds_nothing() -> None:
    with databases.served():
        code = canary.athlete(1, stored.squad()).code
        assert CANARY in canary.dumped(connection.settings_dict["NAME"])
        erase.erase_now(code)
        assert CANARY not in canary.dumped(connection.settings_dict["NAME"])


@pytest.mark.django_db
def test_the_ledger_names_nobody_and_a_new_athlete_under_the_same_key_is_not_taken_for_them(ledger: Path) -> None:
    row = canary.athlete(1, stored.squad())
    erase.erase_now(row.code)
    with ledger.open("a") as file:
        file.write('{"subject": 1, "sal')  # cut short by a lost machine
    Athlete.objects.create(id=row.id, code="somebody-else", name="Somebody Else")
    assert erase.replay() == 0 and Athlete.objects.get().name == "Somebody Else"
    assert erase.replay(ledger.with_name("no such file")) == 0


@pytest.mark.django_db
def test_a_wish_waits_half_a_day_may_be_taken_back_and_is_then_done() -> None:
    squad = stored.squad()
    (row,) = stored.athletes(["a1"], squad)
    account = stored.login("athlete", squad, [row])
    mine = Client()
    mine.force_login(account)
    assert b"Have everything erased?" in mine.get("/me/erase").content
    mine.post("/me/erase", {"do": "erase"})
    asked = ErasureAsked.objects.get()
    mine.post("/me/erase", {"do": "erase"})
    assert ErasureAsked.objects.get().due_at == asked.due_at == stored.NOW + (asked.due_at - asked.asked_at)
    for page in ("/me/erase", "/me/who-sees"):
        assert b"about to be erased" in mine.get(page).content
    assert erase.erase_due(stored.NOW) == 0
    mine.post("/me/erase", {"do": "keep"})
    assert erase.erase_due(asked.due_at) == 0 and Athlete.objects.exists()
    mine.post("/me/erase", {"do": "erase"})
    with time_machine.travel(asked.due_at, tick=False):
        start = retention.hourly()
        assert not Athlete.objects.exists() and not Account.objects.exists() and retention.hourly(start) == start
    assert Erased.objects.count() == 1


@pytest.mark.django_db
def test_whoever_cannot_be_erased_now_keeps_nobody_else_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = stored.athletes(["a1", "a2"], stored.squad())
    for row in rows:
        ErasureAsked.objects.create(athlete=row, asked_at=stored.NOW, due_at=stored.NOW)
    write = erase._write

    def full(line: Any) -> None:
        if line.subject == rows[0].id:
            raise OSError(28, "no space left on device")
        write(line)

    monkeypatch.setattr(erase, "_write", full)
    assert erase.erase_due(stored.NOW) == 1 and Athlete.objects.get() == rows[0], "not half of them"
    monkeypatch.undo()
    assert erase.erase_due(stored.NOW) == 1 and not Athlete.objects.exists()


@pytest.mark.django_db
def test_only_the_athlete_or_a_minors_guardian_may_ask() -> None:
    squad = stored.squad()
    (row,) = stored.athletes(["a1"], squad)
    stored.share([row])
    for role, over in (("head-coach", ()), ("guardian", [row])):
        account = stored.login(role, squad if not over else None, over)
        with pytest.raises(NotFound):
            erase.ask(access.viewer_for(account, stored.TODAY), "a1")
    with pytest.raises(NotFound):
        erase.erase_now("nobody")
    with pytest.raises(CommandError):
        call_command("erase", "a1")
    with pytest.raises(CommandError):
        call_command("erase", "nobody", "--yes")
    call_command("erase", "a1", "--yes", verbosity=0)
    assert not Athlete.objects.exists()


@pytest.mark.django_db
def test_what_processes_keep_in_memory_goes_at_once_here_and_within_six_hours_elsewhere() -> None:
    kept: Kept[str] = Kept(10)
    kept.get("a", lambda: CANARY)
    erase.erase_now(canary.athlete(1, stored.squad()).code)
    assert kept.get("a", lambda: "new") == "new"
    with time_machine.travel(stored.NOW, tick=False) as at:
        other: Kept[str] = Kept(10)
        other.get("a", lambda: CANARY)
        at.shift(6 * 3600 + 1)
        assert other.get("a", lambda: "new") == "new"


def test_the_ledger_lies_outside_the_database() -> None:
    assert str(settings.TENPADS_ERASURES).endswith("erasures.jsonl")
