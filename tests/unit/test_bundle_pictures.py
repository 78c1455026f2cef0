"""Photos of an own export, brought in again: which are taken, and why one is not. Owed to the athlete's right to take
their record elsewhere (GDPR, Article 20), held to what an upload is held to.
"""

from __future__ import annotations

import json
from datetime import timedelta
from io import BytesIO
from typing import Any

import pytest
from PIL import Image

from athletes.records.bundle import pictures, problems
from athletes.records.bundle.pictures import read_pictures, store_pictures
from athletes.records.bundle.report import BadBundle
from athletes.records.models import Damage, Photo
from athletes.records.photos.shape import MOST_BYTES
from athletes.records.retention import PHOTO_DAYS
from tests import stored

pytestmark = pytest.mark.django_db

NAME = "0123456789abcdef" * 2
FILE = f"photo-2027-03-10-R-web-{NAME[:8]}.webp"


def webp(said: bytes = b"") -> bytes:
    out = BytesIO()
    exif = Image.Exif()
    exif[0x010E] = said.decode()
    Image.new("RGB", (64, 64), (20, 40, 60)).save(out, "WEBP", exif=exif)
    return out.getvalue()


def told(**other: Any) -> dict[str, Any]:
    return {
        "name": NAME, "damage_id": 5, "local_date": str(stored.YESTERDAY),
        "made_at": (stored.NOW - timedelta(hours=1)).isoformat(), **other,
    }  # fmt: skip


def files(*rows: dict[str, Any], content: bytes | None = None, file: str = FILE) -> dict[str, bytes]:
    tables = {"records_damage": [{"id": 5, "code": "d1"}], "records_photo": list(rows)}
    return {file: webp() if content is None else content, "everything.json": json.dumps({"tables": tables}).encode()}


def why(found: dict[str, bytes], episodes: set[str] = frozenset({"d1"})) -> list[str]:  # type: ignore[assignment]
    with pytest.raises(BadBundle) as refused:
        read_pictures(found, episodes, stored.NOW)
    codes = {problems.wrong(code): code for code in ("photo-untold", "photo-refused")}
    codes |= {problems.wrong("photo-refused", hint): hint for hint in ("wrong-type", "too-big")}
    assert {row.file for row in refused.value.rows} == {FILE}
    return [codes[row.wrong] for row in refused.value.rows]


def test_a_photo_comes_back_to_its_damage_made_anew_from_its_pixels() -> None:
    (row,) = stored.athletes(["a1"], stored.squad())
    Damage.objects.create(athlete=row, code="d1", site="R-web", kind="cut", noticed_on=stored.YESTERDAY)
    found = read_pictures(files(told(), content=webp(b"canary of a camera")), {"d1"}, stored.NOW)
    assert store_pictures(found) == {row.pk}
    photo = Photo.objects.get()
    assert (photo.name, photo.local_date, photo.damage.code) == (NAME, stored.YESTERDAY, "d1")
    assert photo.made_at == stored.NOW - timedelta(hours=1)
    assert b"canary" not in bytes(photo.content)
    with Image.open(BytesIO(bytes(photo.content))) as opened:
        assert opened.size == (64, 64)
    again = read_pictures(files(told()), {"d1"}, stored.NOW)
    assert (again.fresh, again.already, again.over) == ((), 1, 0)


def test_its_day_moves_with_the_tables_and_no_photo_is_from_tomorrow() -> None:
    late = (stored.NOW + timedelta(days=1)).isoformat()
    (one,) = read_pictures(files(told(made_at=late)), {"d1"}, stored.NOW, shift_days=14).fresh
    assert one.local_date == stored.YESTERDAY + timedelta(days=14) and one.made_at == stored.NOW


@pytest.mark.parametrize(("seconds", "over"), [(0, 0), (1, 1)])
def test_nothing_older_than_a_photo_is_kept_comes_back(seconds: int, over: int) -> None:
    made = stored.NOW - timedelta(days=PHOTO_DAYS, seconds=seconds)
    found = read_pictures(files(told(made_at=made.isoformat())), {"d1"}, stored.NOW)
    assert (len(found.fresh), found.over) == (1 - over, over)


def test_a_time_without_a_zone_is_taken_for_utc() -> None:
    (one,) = read_pictures(files(told(made_at="2027-03-10T08:00:00")), {"d1"}, stored.NOW).fresh
    assert one.made_at.isoformat() == "2027-03-10T08:00:00+00:00"


@pytest.mark.parametrize(
    "said",
    [
        {"damage_id": 6}, {"name": "0123"}, {"name": 7}, {"made_at": "soon"}, {"local_date": None},
        {"name": "f" * 32},
    ],
    ids=["of no damage", "a short name", "no name", "no time", "no day", "another photo"],
)  # fmt: skip
def test_a_photo_of_which_nothing_right_is_said_is_refused(said: dict[str, Any]) -> None:
    assert why(files(told(**said))) == ["photo-untold"]


@pytest.mark.parametrize(
    "whole",
    [b"", b"{", b"[]", b'{"tables": []}', b'{"tables": {"records_damage": [{}]}}', b'{"tables": {"records_photo": 1}}'],
    ids=["empty", "broken", "a list", "no tables", "no code", "no rows"],
)
def test_what_is_said_wrongly_is_as_if_nothing_was_said(whole: bytes) -> None:
    assert why({FILE: webp(), "everything.json": whole}) == ["photo-untold"]
    assert why({FILE: webp()}) == ["photo-untold"]


def test_damage_must_be_in_the_tables_too() -> None:
    assert why(files(told()), {"d2"}) == ["photo-untold"]


@pytest.mark.parametrize(
    ("content", "code"),
    [(b"no picture", "wrong-type"), (b"\0" * (MOST_BYTES + 1), "too-big")],
    ids=["no picture", "too big"],
)
def test_what_an_upload_would_refuse_is_refused(content: bytes, code: str) -> None:
    assert why(files(told(), content=content)) == [code]


def test_a_bundle_without_photos_asks_for_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pictures, "_told", lambda files: 1 / 0)
    assert read_pictures({"everything.json": b"{"}, set(), stored.NOW) == pictures.Pictures()
