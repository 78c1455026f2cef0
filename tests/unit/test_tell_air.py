"""Telling air: one reading in one's own units, a file looked at first, all or nothing, corrections with a trace."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from athletes.records.models import Account, Air, Correction, Person, Place
from coaching.ledger.models import Staleness
from tests import stored

HEAD = "starts_at,temp_c,rh_pct,wind_m_s,known_at\n"
GOOD = HEAD + "2027-03-11T08:00:00+01:00,9.5,60,3,\n2027-03-11T09:00:00+01:00,10,58,,2027-03-10T18:00:00Z\n"


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


@pytest.fixture
def coach() -> Account:
    squad = stored.squad()
    (row,) = stored.athletes(["a01"], squad)
    stored.share([row])
    event = stored.event()
    event.place = Place.objects.create(code="p1", name="Hall")
    event.save()
    stored.conclude([row], event)
    return stored.login("head-coach", squad)


def client(account: Account) -> Client:
    found = Client()
    found.force_login(account)
    return found


def upload(account: Account, text: str | bytes, name: str = "air.csv") -> tuple[int, str]:
    data = text if isinstance(text, bytes) else text.encode()
    form = {"action": "preview", "file": SimpleUploadedFile(name, data)}
    found = client(account).post("/places/p1/air", form)
    return found.status_code, found.content.decode()


@pytest.mark.django_db
def test_a_file_is_looked_at_and_then_stored(coach: Account) -> None:
    status, said = upload(coach, GOOD)
    assert status == 200 and "2 hours, nothing stored yet" in said and Air.objects.count() == 0
    found = client(coach).post("/places/p1/air", {"action": "store", "text": GOOD})
    assert (found.status_code, Air.objects.count()) == (302, 2)
    hour = Air.objects.get(known_at__isnull=True)
    assert (hour.starts_at, hour.temp_c, hour.wind_m_s) == (datetime(2027, 3, 11, 7, tzinfo=UTC), 9.5, 3.0)


@pytest.mark.django_db
def test_whoever_goes_there_is_computed_again(coach: Account) -> None:
    before = Staleness.objects.get().input_rev
    client(coach).post("/places/p1/air", {"action": "store", "text": GOOD})
    assert Staleness.objects.get().input_rev > before


@pytest.mark.django_db
def test_the_same_file_twice_changes_nothing_and_another_word_corrects_with_a_trace(coach: Account) -> None:
    for text in (GOOD, GOOD, GOOD.replace("9.5", "8.5")):
        client(coach).post("/places/p1/air", {"action": "store", "text": text})
    assert Air.objects.count() == 2 and Air.objects.get(known_at__isnull=True).temp_c == 8.5
    trace = Correction.objects.get(table="air")
    assert (trace.before["temp_c"], trace.after["temp_c"], trace.by_id) == (9.5, 8.5, coach.pk)


BAD = {
    "a bad day": ("2027-02-31T08:00:00Z,9,60,,", "row 2, column starts_at"),
    "no offset": ("2027-03-11T08:00:00,9,60,,", "row 2, column starts_at"),
    "a comma": ('2027-03-11T08:00:00Z,"9,5",60,,', "row 2, column temp_c"),
    "too damp": ("2027-03-11T08:00:00Z,9,160,,", "row 2, column rh_pct"),
    "NaN": ("2027-03-11T08:00:00Z,NaN,60,,", "row 2, column temp_c"),
    "a formula": ("2027-03-11T08:00:00Z,=1+1,60,,", "row 2, column temp_c"),
    "an impossible wind": ("2027-03-11T08:00:00Z,9,60,468.6,", "row 2, column wind_m_s"),
    "still to come": ("2027-03-11T23:00:00Z,9,60,,", "row 2, column starts_at"),
    "cells": ("2027-03-11T08:00:00Z,9,60", "row 2"),
    "two words": ("2027-03-11T08:00:00Z,9,60,,\n2027-03-11T08:00:00Z,10,60,,", "row 3"),
}


@pytest.mark.django_db
@pytest.mark.parametrize("fault", BAD)
def test_bad_rows_are_numbered_and_nothing_is_stored(coach: Account, fault: str) -> None:
    rows, where = BAD[fault]
    status, said = upload(coach, HEAD + rows + "\n")
    assert status == 422 and where in said and "Nothing is stored" in said
    client(coach).post("/places/p1/air", {"action": "store", "text": HEAD + rows + "\n"})
    assert Air.objects.count() == 0


@pytest.mark.django_db
@pytest.mark.parametrize(
    "data",
    [b"", b"\xff\xfe\x00", "\ufeff".encode("utf-16"), b"\x00" * 50, b"a,b\n1,2\n", b"x" * 1_000_100,
     HEAD.encode() + b'"' + b"y" * 900_000, b"starts_at,starts_at,temp_c,rh_pct\n", b",".join([b"c"] * 10_000)],
)  # fmt: skip
def test_a_broken_file_is_refused_as_a_page(coach: Account, data: bytes) -> None:
    status, _ = upload(coach, data)
    assert status == 422 and Air.objects.count() == 0


@pytest.mark.django_db
def test_every_truncation_and_flip_of_a_file_is_refused_or_taken_whole(coach: Account) -> None:
    whole = GOOD.encode()
    for n in range(0, len(whole), 9):
        for data in (whole[:n], whole[:n] + b"\x00" + whole[n + 1 :], whole[:n] + b"\xff" + whole[n:]):
            assert upload(coach, data)[0] in (200, 422)
    assert Air.objects.count() == 0


@pytest.mark.django_db
def test_a_file_that_names_another_place_is_refused(coach: Account) -> None:
    status, said = upload(coach, "place_id,starts_at,temp_c,rh_pct\np2,2027-03-11T08:00:00Z,9,60\n")
    assert status == 422 and "row 2, column place_id" in said
    assert upload(coach, "place_id,starts_at,temp_c,rh_pct\np1,2027-03-11T08:00:00Z,9,60\n")[0] == 200


IMPERIAL = "starts_at,{temp},rh_pct,{wind}\n2027-03-11T08:00:00+01:00,50,60,10\n2027-03-11T07:00:00+01:00,14,60,\n"


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("temp", "wind", "chosen", "m_s"),
    [
        ("temp_f", "wind_mph", {}, 4.4704),
        ("temp_f", "wind_kmh", {}, 2.777778),
        ("temp_f", "wind_kn", {}, 5.144444),
        ("temp_f", "wind_m_s", {}, 10.0),
        ("temp", "wind", {"file_temperature": "F", "file_wind": "kn"}, 5.144444),
    ],
)
def test_a_file_may_be_told_in_other_units_and_is_stored_in_ours(
    coach: Account, temp: str, wind: str, chosen: dict[str, str], m_s: float
) -> None:
    """50 F are 10 C and 14 F are -10 C; mile 1609.344 m, nautical mile 1852 m an hour, by definition, to 1e-6."""
    text = IMPERIAL.format(temp=temp, wind=wind).encode()
    form = {"action": "preview", "file": SimpleUploadedFile("air.csv", text), **chosen}
    page = client(coach).post("/places/p1/air", form)
    assert page.status_code == 200 and "Read as °F" in page.content.decode() and not Air.objects.count()
    kept = page.context["preview"].text
    assert client(coach).post("/places/p1/air", {"action": "store", "text": kept}).status_code == 302
    cold, mild = Air.objects.order_by("starts_at")
    assert (cold.temp_c, mild.temp_c, cold.wind_m_s) == (-10.0, 10.0, None)
    assert mild.wind_m_s == pytest.approx(m_s, abs=1e-6)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("head", "where"),
    [
        ("starts_at,temp,rh_pct\n", "column temp: says no unit"),
        ("starts_at,temp_c,rh_pct,wind\n", "column wind: says no unit"),
        ("starts_at,temp_c,temp_f,rh_pct\n", "column temp_f"),
        ("starts_at,temp_c,rh_pct,wind_mph,wind_kn\n", "column wind_mph"),
    ],
)
def test_a_unit_is_never_guessed(coach: Account, head: str, where: str) -> None:
    status, said = upload(coach, head + "2027-03-11T08:00:00Z" + ",9" * head.count(",") + "\n")
    assert status == 422 and where in said and not Air.objects.count()


@pytest.mark.django_db
def test_a_bad_value_is_named_by_the_column_of_the_file(coach: Account) -> None:
    status, said = upload(coach, "starts_at,temp_f,rh_pct\n2027-03-11T08:00:00Z,999,60\n2027-03-11T07:00:00Z,x,60\n")
    assert status == 422 and "row 2, column temp_f" in said and "row 3, column temp_f" in said


@pytest.mark.django_db
def test_one_reading_in_the_units_of_the_person(coach: Account) -> None:
    Person.objects.filter(id=coach.person_id).update(temperature_unit="F", wind_unit="kn")
    form = {"action": "one", "at": "2027-03-11T09:30", "temp": "50", "humidity": "55", "wind": "10"}
    assert client(coach).post("/places/p1/air", form).status_code == 302
    hour = Air.objects.get()
    assert hour.temp_c == pytest.approx(10.0) and hour.wind_m_s == pytest.approx(5.14444, abs=1e-5)  # 1852 m an hour
    assert hour.starts_at == datetime(2027, 3, 11, 8, 30, tzinfo=UTC)  # the clock of Stockholm, where the event is


@pytest.mark.django_db
@pytest.mark.parametrize(
    "form",
    [
        {"temp": "999"},
        {"humidity": "101"},
        {"at": "yesterday"},
        {"wind": "-1"},
        {"temp": ""},
        {"at": "2027-03-12T09:00"},
    ],
)
def test_a_bad_reading_is_said_and_kept_on_the_page(coach: Account, form: dict[str, str]) -> None:
    told = {"action": "one", "at": "2027-03-11T09:00", "temp": "12", "humidity": "55", **form}
    found = client(coach).post("/places/p1/air", told)
    assert found.status_code == 422 and Air.objects.count() == 0


@pytest.mark.django_db
def test_a_reading_tells_nothing_to_those_who_do_not_see_the_place(coach: Account) -> None:
    stranger = stored.login("head-coach", stored.squad("other"))
    found = client(stranger)
    assert found.get("/places/p1/air").status_code == 404
    assert (
        found.post("/places/p1/air", {"action": "store", "text": GOOD}).status_code == 404 and not Air.objects.count()
    )


@pytest.mark.django_db
def test_the_service_is_off_and_the_page_says_so(coach: Account) -> None:
    page = client(coach).get("/places/p1/air").content.decode()
    assert "TENPADS_FORECAST_CONTACT" in page and "Ask for the forecast" not in page
    said = client(coach).post("/places/p1/air", {"action": "ask"}, follow=True).content.decode()
    assert "Nobody has switched the forecast service on" in said
