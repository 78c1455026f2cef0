"""Every column is in the register, every table of an athlete in erasure, export and log; an export imports again."""

from __future__ import annotations

import json
import zipfile
from datetime import timedelta
from io import BytesIO, StringIO
from pathlib import Path

import pytest
import time_machine
from django.apps import apps
from django.core.management import call_command
from django.db.models import ForeignKey
from django.test import Client
from PIL import Image

from athletes.records import access, erasing, own_rows, register
from athletes.records.models import AccessLog, AccessScope, Athlete, CheckIn, Consent, Damage, OneTimeLink, Photo
from coaching.usecases import export_own, retention
from coaching.usecases.export_bundle import export_bundle
from coaching.usecases.import_bundle import import_bundle
from coaching.usecases.throwaway import throwaway_database
from tests import stored
from tests.bars import canary

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def clock():
    with time_machine.travel(stored.NOW, tick=False):
        yield


def test_every_column_has_purpose_basis_retention_and_class() -> None:
    found = list(register.entries())
    print(f"{len(found)} columns of {len(register.tables())} tables")
    assert register.problems() == []


def test_planted_a_column_without_an_entry_and_one_too_much_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    there = register.columns_there_are() - {("records_air", "rh_pct")} | {("records_x", "y")}
    monkeypatch.setattr(register, "columns_there_are", lambda: there)
    assert register.problems() == ["records_x.y: not in the register", "records_air.rh_pct: no such column"]


@pytest.mark.parametrize("what", ["record", "impact"])
def test_the_record_and_the_assessment_are_made_from_it(what: str) -> None:
    out = StringIO()
    call_command("register", what, stdout=out)
    words = {"record": ("records_checkin", "Art. 9(2)(a)"), "impact": ("lawyer", "risk")}[what]
    assert all(word in out.getvalue() for word in words)
    for one in register.loaded()["impact"]["risks"]:
        for path in one["proof"].split(", "):
            assert (Path(__file__).parents[2] / path).exists(), path


def test_no_name_that_leads_to_an_athlete_is_missed_by_the_walk() -> None:
    """Told apart from the walk: by the names of columns, and by the foreign keys of every model."""
    reached = {model._meta.db_table for model in erasing.reaching_the_athlete()}
    for model in apps.get_models(include_auto_created=True):
        for field in model._meta.concrete_fields:
            leads = isinstance(field, ForeignKey) and field.related_model in (Athlete, Damage)
            if leads or field.column == "athlete_id":
                assert model._meta.db_table in reached, f"{model._meta.db_table}.{field.column}"


PHOTO = "0" * 31 + "1"


def real_photo(row: Athlete) -> None:
    """The canary's photo is no picture; an import takes nothing that an upload would refuse."""
    out = BytesIO()
    Image.new("RGB", (80, 60), (20, 40, 60)).save(out, "WEBP")
    assert Photo.objects.filter(athlete=row).update(name=PHOTO, content=out.getvalue()) == 1


def test_an_athletes_export_holds_all_rows_no_secret_and_imports_again_with_equal_digest(tmp_path: Path) -> None:
    row = canary.athlete(1, stored.squad())
    other = canary.athlete(2, row.memberships.get().squad)
    real_photo(row)
    account = row.people.get(role="athlete").person.account
    made = export_own.export_own(access.viewer_for(account, stored.TODAY), None)
    with zipfile.ZipFile(BytesIO(made.content)) as archive:
        whole = json.loads(archive.read("everything.json"))
        texts = b"".join(archive.read(name) for name in archive.namelist() if ".webp" not in name).decode()
    for word in ("note", "product", "seen by the coach", "cause", "said the coach", "pause", "before", "body"):
        assert f"{canary.CANARY}1 {word}" in texts, word
    assert f"{canary.CANARY}2" not in texts and other.name not in texts
    secrets = {(one.table, one.column) for one in register.entries() if one.data_class == "secret"}
    told = {(table, column) for table, rows in whole["tables"].items() for column in rows[0]}
    assert not told & secrets and ("records_onetimelink", "digest") in secrets and ("records_care", "verb") in told
    path = tmp_path / "own.zip"
    path.write_bytes(made.content)
    with throwaway_database():
        report = import_bundle(path, club_name="Another", now=stored.NOW)
        operator = access.OPERATOR(stored.TODAY)
        again = export_bundle(tmp_path / "again", viewer=operator, now=stored.NOW, athlete_codes=[row.code])
        photos = list(Photo.objects.values_list("name", "local_date", "damage__code"))
    assert report.digest == again.digest == made.digest
    assert photos == [(PHOTO, stored.YESTERDAY, f"{canary.CANARY}1d")]
    assert CheckIn.objects.count() == 2  # the installation's own was not touched


def test_planted_an_export_that_forgets_a_table_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from athletes.records.bundle import writing

    row = canary.athlete(1, stored.squad())
    real_photo(row)
    account = row.people.get(role="athlete").person.account
    whole = writing.files
    monkeypatch.setattr(writing, "files", lambda t, m: {n: b for n, b in whole(t, m).items() if n != "care.csv"})
    made = export_own.export_own(access.viewer_for(account, stored.TODAY), None)
    (tmp_path / "own.zip").write_bytes(made.content)
    with throwaway_database():
        assert import_bundle(tmp_path / "own.zip", club_name="Another", now=stored.NOW).digest != made.digest


def test_what_only_one_of_two_has_said_or_only_one_person_may_see_is_not_handed_on_as_more(tmp_path: Path) -> None:
    """The file knows roles alone; words that it cannot say stay in the JSON beside it."""
    (row,) = stored.athletes(["m1"], stored.squad(), stored.MINOR)
    told = {"athlete": row, "grantee_role": "head-coach", "purpose": "coaching", "given_on": stored.YESTERDAY}
    Consent.objects.create(**told, data_class="level", grantor_role="self")
    Consent.objects.create(**told, data_class="damage", grantee_person=7)
    operator = access.OPERATOR(stored.TODAY)
    export_bundle(tmp_path / "one", viewer=operator, now=stored.NOW, athlete_codes=["m1"])
    assert not (tmp_path / "one" / "consents.csv").exists()
    Consent.objects.create(**{**told, "given_on": stored.TODAY}, data_class="level", grantor_role="guardian")
    export_bundle(tmp_path / "two", viewer=operator, now=stored.NOW, athlete_codes=["m1"])
    lines = (tmp_path / "two" / "consents.csv").read_text().splitlines()
    assert lines[1:] == [f"m1,head-coach,level,coaching,{stored.TODAY},,"]


def test_own_rows_are_nobody_elses() -> None:
    squad = stored.squad()
    first, second = canary.athlete(1, squad), canary.athlete(2, squad)
    assert str(second.id) not in {str(r.get("athlete_id")) for t in own_rows.own_rows(first.id).values() for r in t}


def test_every_read_of_notes_photos_and_damage_is_in_the_athletes_log_100_of_100() -> None:
    squad = stored.squad()
    row = canary.athlete(1, squad)
    damage = row.damage.get().code
    for role in ("medical", "assistant"):
        stored.share([row], role=role)
    paths = ["check-ins", "damage", f"damage/{damage}/looks", "sightings", "care"]
    doors = [f"/athletes/{row.code}", *(f"/api/v1/athletes/{row.code}/{path}" for path in paths)]
    clients = []
    for role in ("head-coach", "medical", "assistant"):
        clients.append(Client())
        clients[-1].force_login(stored.login(role, squad))
    asked = 0
    for n in range(100):
        answer = clients[n % 3].get(doors[n % len(doors)])
        assert answer.status_code == 200, doors[n % len(doors)]
        asked += 1
    mine = AccessScope.objects.filter(athlete=row, classes__contains="notes").values("scope")
    assert AccessLog.objects.filter(scope__in=mine).count() == asked == 100


def test_planted_a_read_past_the_log_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    from athletes.records import access_seen

    monkeypatch.setattr(access_seen, "noted", lambda viewer, refs: refs)
    row = canary.athlete(1, stored.squad())
    coach = Client()
    coach.force_login(stored.login("head-coach", row.memberships.get().squad))
    assert coach.get(f"/api/v1/athletes/{row.code}/damage").status_code == 200
    assert not AccessLog.objects.exists()


def test_terms_are_kept_once_a_day_and_first_counted() -> None:
    squad = stored.squad()
    old, new = stored.athletes(["old", "new"], squad)
    past = stored.TODAY - timedelta(days=731)
    CheckIn.objects.create(athlete=old, local_date=past)
    CheckIn.objects.create(athlete=new, local_date=past)
    CheckIn.objects.create(athlete=new, local_date=stored.TODAY)
    stored.conclude([old], stored.event())
    reads = {"roles": "medical", "purpose": "medical", "what": "morning", "method": "GET"}
    AccessLog.objects.create(at=stored.NOW - timedelta(days=731), scope="old", **reads)
    AccessLog.objects.create(at=stored.NOW, scope="new", **reads)
    for scope in ("old", "new"):
        AccessScope.objects.create(scope=scope, athlete=new, classes="level")
    gone = stored.NOW - timedelta(days=31)
    OneTimeLink.objects.create(kind="join", prefix="1", digest="1", made_at=gone, expires_at=gone)
    out = StringIO()
    call_command("keep_terms", "--dry-run", stdout=out)
    assert "activity: 2 rows would go" in out.getvalue() and "link: 1 rows would go" in out.getvalue()
    assert CheckIn.objects.count() == 3 and AccessLog.objects.count() == 2
    start = retention.daily()
    assert retention.daily(start) == start and retention.daily() == start
    assert set(CheckIn.objects.values_list("athlete__code", flat=True)) == {"new"} and Athlete.objects.count() == 2
    assert [log.scope for log in AccessLog.objects.all()] == ["new"]
    assert [scope.scope for scope in AccessScope.objects.all()] == ["new"] and not OneTimeLink.objects.exists()
    call_command("keep_terms", verbosity=0)
