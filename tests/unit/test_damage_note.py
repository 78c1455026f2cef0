"""A note of damage: nothing guessed, nothing lost, a photo only for whoever it is shared with and only for a while."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from athletes.records import access, erasing, retention
from athletes.records.bundle.report import BadBundle, ImportReport
from athletes.records.models import Account, Athlete, CheckIn, Correction, Damage, Look, Photo
from athletes.records.photos import keeping
from coaching.rules.medical import UNNAMED_SIGN
from coaching.usecases import see_photo
from coaching.usecases.import_bundle import import_bundle
from tests import stored
from tests.unit.test_photo_cleaning import CANARY, jpeg

pytestmark = pytest.mark.django_db
PAGE, SITE = "/me/damage", "R-middle-tip-crease"
TOLD = {"site": SITE, "kind": "split", "stage": "open", "bled": "yes", "red_below": "yes", "length_mm": "4"}


@pytest.fixture
def people() -> Iterator[dict[str, Account]]:
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes(["a1", "a2"], squad)
        minor = stored.athletes(["m1"], squad, stored.MINOR)
        stored.share([*rows, *minor])
        found = {"athlete": stored.login("athlete", squad, rows[:1]), "other": stored.login("athlete", squad, rows[1:])}
        found["guardian"] = stored.login("guardian", squad, minor)
        found["head-coach"], found["medical"] = stored.login("head-coach", squad), stored.login("medical", squad)
        yield found


def client(who: Account) -> Client:
    found = Client()
    found.force_login(who)
    return found


def photo(content: bytes | None = None, name: str = "IMG_0001.JPG") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, jpeg() if content is None else content, "image/jpeg")


def noted(who: Client, **told: Any) -> tuple[Any, Damage]:
    answer = who.post(PAGE, {**TOLD, **told})
    return answer, Damage.objects.get()


def signed(who: Client, name: str) -> str:
    return f"/photos/{name}?s={see_photo.sign(name, who.session.session_key)}"


def test_a_note_is_an_episode_with_its_first_look(people: dict[str, Account]) -> None:
    answer, row = noted(client(people["athlete"]), worries=["dirty"], cause="a crystal", noticed="1")
    assert (answer.status_code, answer["Location"]) == (302, f"/me/damage/{row.code}")
    assert (row.athlete.code, row.site, row.kind, row.depth, row.length_mm) == ("a1", SITE, "split", "deep", 4)
    assert (row.worries, row.cause, row.noticed_on) == (["dirty"], "a crystal", stored.YESTERDAY)
    look = Look.objects.get()
    assert (look.local_date, look.stage, look.bled) == (stored.TODAY, "open", True)


@pytest.mark.parametrize(
    ("bled", "below", "depth"),
    [("yes", "", "deep"), ("no", "yes", "deep"), ("no", "no", "shallow"), ("no", "", ""), ("", "no", ""), ("", "", "")],
)
def test_depth_is_what_was_seen_and_never_guessed(
    people: dict[str, Account], bled: str, below: str, depth: str
) -> None:
    """The outer skin holds no blood vessels (anatomy, from memory): blood or red comes from below it."""
    _answer, row = noted(client(people["athlete"]), bled=bled, red_below=below)
    assert row.depth == depth


def test_place_and_kind_are_enough_and_no_look_is_made_up(people: dict[str, Account]) -> None:
    client(people["athlete"]).post(PAGE, {"site": SITE, "kind": "graze"})
    row = Damage.objects.get()
    assert (row.depth, row.length_mm, row.worries, row.noticed_on) == ("", None, [], stored.TODAY)
    assert not Look.objects.exists() and not CheckIn.objects.exists()


def test_sent_twice_under_its_key_it_is_one_and_another_is_another(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    key = {"idempotency_key": "0123456789abcdef"}
    answers = [who.post(PAGE, {**TOLD, **key, "photo": photo()}) for _ in range(3)]
    assert {answer["Location"] for answer in answers} == {f"/me/damage/{Damage.objects.get().code}"}
    assert (Damage.objects.count(), Look.objects.count(), Photo.objects.count()) == (1, 1, 1)
    who.post(PAGE, {**TOLD, **key, "site": "L-index-tip"})  # gone back in the browser, another place
    assert set(Damage.objects.values_list("site", flat=True)) == {SITE, "L-index-tip"}


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"site": ""}, "Tap the place on the hands."),
        ({"site": "R-thumb-middle"}, "Tap the place on the hands."),
        ({"kind": "bruise"}, "Choose what it is."),
        ({"stage": "healed"}, "Choose one of the five stages."),
        ({"length_mm": "3"}, "Choose one of the lengths."),
        ({"infected": "no", "red_flags": ["pus"]}, "Signs are ticked, but the answer is no."),
        ({"noticed": "9"}, "Choose one of the days."),
    ],
)
def test_a_wrong_answer_says_what_to_do_and_loses_nothing(
    people: dict[str, Account], wrong: dict[str, Any], said: str
) -> None:
    answer = client(people["athlete"]).post(PAGE, {**TOLD, "cause": "own words", **wrong})
    html = answer.content.decode()
    assert answer.status_code == 422 and said in html and not Damage.objects.exists()
    kept = {**TOLD, **wrong}
    for name in ("bled", "red_below"):
        assert f'name="{name}" value="{kept[name]}" checked' in html
    assert "own words" in html and 'name="idempotency_key" value="' in html


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7 no photo", jpeg()[:700], jpeg() + b"PK\x03\x04"])
def test_a_photo_that_is_not_taken_loses_nothing_that_was_typed(people: dict[str, Account], content: bytes) -> None:
    answer = client(people["athlete"]).post(PAGE, {**TOLD, "cause": "own words", "photo": photo(content)})
    html = answer.content.decode()
    assert answer.status_code == 422 and not Damage.objects.exists() and not Photo.objects.exists()
    assert "own words" in html and f'value="{SITE}" checked' in html and 'class="field-error"' in html


def test_signs_lead_to_what_to_do_and_stand_where_the_rules_read_them(people: dict[str, Account]) -> None:
    answer, _row = noted(client(people["athlete"]), infected="yes", red_flags=["pus", "warmth"])
    assert answer["Location"] == "/me/infected"
    assert sorted(CheckIn.objects.get().red_flags) == ["pus", "warmth"]
    assert "Whom to call" in client(people["athlete"]).get("/me/infected").content.decode()


def test_signs_without_a_tick_are_never_dropped(people: dict[str, Account]) -> None:
    CheckIn.objects.create(
        athlete=Athlete.objects.get(code="a1"), local_date=stored.TODAY, reserve=6, red_flags=["streak"], note="mine"
    )
    answer, _row = noted(client(people["athlete"]), infected="yes")
    row = CheckIn.objects.get()
    assert answer["Location"] == "/me/infected" and UNNAMED_SIGN in row.note and "mine" in row.note
    assert (row.reserve, row.red_flags) == (6, ["streak"])
    client(people["athlete"]).post(f"{PAGE}/{Damage.objects.get().code}", {"infected": "yes", "red_flags": ["fever"]})
    assert sorted(CheckIn.objects.get().red_flags) == ["fever", "streak"]


def test_a_look_later_corrects_that_of_the_day_with_a_trace(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    _answer, row = noted(who)
    for stage in ("closing", "rimmed"):
        assert who.post(f"{PAGE}/{row.code}", {"stage": stage, "opens": "no"}).status_code == 302
    assert Look.objects.get().stage == "rimmed"
    assert [one.before["stage"] for one in Correction.objects.filter(table="look")] == ["open", "closing"]
    refused = who.post(f"{PAGE}/{row.code}", {"pain": "3"})
    assert refused.status_code == 422 and "the stage is missing" in refused.content.decode()
    assert who.post(f"{PAGE}/{row.code}", {}).status_code == 422


def test_next_looks_are_named_by_day(people: dict[str, Account]) -> None:
    """Tomorrow while it is open, and two days on, which is what `deadline.look` has between two looks."""
    who = client(people["athlete"])
    _answer, row = noted(who)
    assert "Next looks: Fri 12; then Sun 14" in who.get(f"{PAGE}/{row.code}").content.decode()
    Look.objects.update(stage="sound")
    assert "Next looks" not in who.get(f"{PAGE}/{row.code}").content.decode()


def test_a_photo_is_kept_clean_and_shown_only_by_an_address_of_ones_own(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    noted(who, photo=photo())
    row = Photo.objects.get()
    assert CANARY not in bytes(row.content) and bytes(row.content)[8:12] == b"WEBP" and len(row.name) == 32
    answer = who.get(signed(who, row.name))
    assert (answer.status_code, answer["Content-Type"], answer.content) == (200, "image/webp", bytes(row.content))
    assert answer["Cache-Control"].startswith("no-store") and answer["Referrer-Policy"] == "no-referrer"
    assert answer["X-Content-Type-Options"] == "nosniff" and answer["Content-Disposition"].startswith("inline")
    assert who.get(f"/photos/{row.name}").status_code == 404
    again = client(people["athlete"])  # the same person in another browser: the address is not good there
    assert again.get(signed(who, row.name)).status_code == 404 and again.get(signed(again, row.name)).status_code == 200


def test_an_address_is_good_for_five_minutes(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    noted(who, photo=photo())
    address = signed(who, Photo.objects.get().name)
    for seconds, status in ((299, 200), (301, 404)):
        with time_machine.travel(stored.NOW + timedelta(seconds=seconds), tick=False):
            assert who.get(address).status_code == status


def test_only_whoever_photos_are_shared_with_sees_one(people: dict[str, Account]) -> None:
    """Everything but photos is shared with medical: that is no photo."""
    noted(client(people["athlete"]), photo=photo())
    name = Photo.objects.get().name
    stored.share([Athlete.objects.get(code="a1")], ["level", "checkins", "notes", "damage"], "medical")
    seen = {}
    for role in ("head-coach", "medical", "other", "guardian"):
        who = client(people[role])
        seen[role] = who.get(signed(who, name)).status_code
    assert seen == {"head-coach": 200, "medical": 404, "other": 404, "guardian": 404}
    stored.withdraw(data_class="photos", grantee_role="head-coach")
    coach = client(people["head-coach"])
    assert coach.get(signed(coach, name)).status_code == 404


def test_a_look_at_a_photo_is_told_to_the_athlete(people: dict[str, Account]) -> None:
    noted(client(people["athlete"]), photo=photo())
    coach = client(people["head-coach"])
    coach.get(signed(coach, Photo.objects.get().name))
    assert "a photo of your hands" in client(people["athlete"]).get("/me/who-looked").content.decode()


def test_a_photo_is_taken_away_by_its_owner_alone(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    _answer, row = noted(who, photo=photo())
    name = Photo.objects.get().name
    other = client(people["other"])
    other.post(PAGE, {**TOLD})
    theirs = Damage.objects.exclude(pk=row.pk).get()
    assert other.post(f"{PAGE}/{theirs.code}", {"photo_gone": name}).status_code == 404
    assert other.get(f"{PAGE}/{row.code}").status_code == 404 and Photo.objects.exists()
    assert who.post(f"{PAGE}/{row.code}", {"photo_gone": name}).status_code == 302
    assert not Photo.objects.exists()


def test_ninety_days_are_the_most(people: dict[str, Account]) -> None:
    noted(client(people["athlete"]), photo=photo())
    for days, left in ((90, 1), (91, 0)):
        assert retention.past("photos", stored.NOW + timedelta(days=days), dry=True) == 1 - left
        retention.past("photos", stored.NOW + timedelta(days=days), dry=False)
        assert Photo.objects.count() == left
    assert Damage.objects.count() == 1  # the note stays under its own term


def test_it_goes_with_the_athlete(people: dict[str, Account]) -> None:
    noted(client(people["athlete"]), photo=photo())
    erasing.erase_rows(Athlete.objects.get(code="a1").id)
    assert not Photo.objects.exists()


def exported(who: Client) -> dict[str, bytes]:
    answer = who.get("/me/export")
    whole = b"".join(answer.streaming_content) if answer.streaming else answer.content
    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def brought_in(files: dict[str, bytes], folder: Path, days: int = 0) -> ImportReport:
    with zipfile.ZipFile(folder / "own.zip", "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return import_bundle(folder / "own.zip", club_name="Club", now=stored.NOW + timedelta(days=days))


@pytest.fixture
def own_file(people: dict[str, Account]) -> dict[str, bytes]:
    """An athlete's own export with one photo; then everything of the athlete is gone."""
    who = client(people["athlete"])
    noted(who, photo=photo())
    row, files = Photo.objects.get(), exported(who)
    (name,) = [one for one in files if one.endswith(".webp")]
    assert files[name] == bytes(row.content) and name == f"photo-{stored.TODAY}-{SITE}-{row.name[:8]}.webp"
    told = json.loads(files["everything.json"])["tables"]["records_photo"]
    assert [one["width_px"] for one in told] == [row.width_px] and "content" not in told[0]
    erasing.erase_rows(Athlete.objects.get(code="a1").id)
    assert not Photo.objects.exists() and not Damage.objects.exists()
    return files


def test_a_photo_comes_in_again_with_the_athletes_own_file_and_once(own_file: dict[str, bytes], tmp_path: Path) -> None:
    """Its name, day and damage are the same; its bytes are not, because it is made anew like any photo from outside."""
    first, second = brought_in(own_file, tmp_path), brought_in(own_file, tmp_path)
    assert (first.stored["photos"], second.stored["photos"], second.already["photos"]) == (1, 0, 1)
    row = Photo.objects.get()
    (told,) = json.loads(own_file["everything.json"])["tables"]["records_photo"]
    assert (row.name, row.local_date, row.athlete.code) == (told["name"], stored.TODAY, "a1")
    assert (row.damage.site, row.width_px, row.made_at) == (SITE, told["width_px"], stored.NOW)
    assert bytes(row.content)[8:12] == b"WEBP"
    assert first.digest == second.digest  # of the tables, which a photo is none of


def test_a_photo_from_outside_is_held_to_what_an_upload_is(own_file: dict[str, bytes], tmp_path: Path) -> None:
    (name,) = [one for one in own_file if one.endswith(".webp")]
    brought_in({**own_file, name: jpeg(6)}, tmp_path)  # a camera's own file with its canaries, under that name
    assert CANARY not in bytes(Photo.objects.get().content)
    Photo.objects.all().delete()
    for wrong in (b"", b"%PDF-1.7", own_file[name][:60], own_file[name] + b"PK\x05\x06"):
        with pytest.raises(BadBundle, match="photo"):
            brought_in({**own_file, name: wrong}, tmp_path)
    with pytest.raises(BadBundle, match="at which damage"):
        brought_in({**own_file, "photo-2027-03-11-L-index-tip-00000000.webp": own_file[name]}, tmp_path)
    assert not Photo.objects.exists()


def test_a_photo_whose_ninety_days_are_over_stays_out(own_file: dict[str, bytes], tmp_path: Path) -> None:
    assert brought_in(own_file, tmp_path, days=91).stored["photos"] == 0 and Damage.objects.exists()
    ahead = own_file["everything.json"].replace(b'"made_at": "2027-03-11', b'"made_at": "2099-03-11')
    brought_in({**own_file, "everything.json": ahead}, tmp_path)
    assert Photo.objects.get().made_at == stored.NOW  # none is kept longer for what its file says


def test_no_more_than_a_days_worth(people: dict[str, Account], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(keeping, "MOST_A_DAY", 1)
    who = client(people["athlete"])
    _answer, row = noted(who, photo=photo())
    refused = who.post(f"{PAGE}/{row.code}", {"stage": "closing", "photo": photo(jpeg(3))})
    assert refused.status_code == 422 and "as many photos as are kept of one day" in refused.content.decode()
    assert Look.objects.get().stage == "open"  # all or nothing


def test_a_guardian_notes_for_the_ward_and_for_nobody_else(people: dict[str, Account]) -> None:
    who = client(people["guardian"])
    answer = who.post(f"{PAGE}?for=m1", TOLD)
    row = Damage.objects.get()
    assert (answer["Location"], row.athlete.code) == (f"{PAGE}/{row.code}?for=m1", "m1")
    for role in ("other", "head-coach", "guardian"):
        assert client(people[role]).post(f"{PAGE}?for=a1", TOLD).status_code == 404
    assert Damage.objects.count() == 1


def test_no_list_of_photos_where_they_are_not_shared(people: dict[str, Account]) -> None:
    noted(client(people["athlete"]), photo=photo())
    with_photos = access.viewer_for(people["head-coach"], stored.TODAY)
    ref = access.athlete_by_code(with_photos, "a1", "damage")
    assert len(keeping.of_athlete(ref) or ()) == 1
    stored.withdraw(data_class="photos")
    assert keeping.of_athlete(access.athlete_by_code(with_photos, "a1", "damage")) is None
