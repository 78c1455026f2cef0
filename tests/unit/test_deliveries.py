"""Entries that a phone kept: taken late, twice and out of order; with what was told by another way between; and
refused so that the phone knows what to do. The order is Lamport's (Comm. ACM 21 (7), 1978, from memory); the rest is
ours.
"""

from __future__ import annotations

import base64
import io
from collections.abc import Iterator
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
import time_machine
from django.test import Client
from PIL import Image

from athletes.records import taps, tokens
from athletes.records.models import CheckIn, Correction, Damage, Delivery, Look, Photo, Session
from coaching.rules.medical import UNNAMED_SIGN
from coaching.usecases import conclude, counting, retention
from tests import stored
from tests.api_calls import send

pytestmark = pytest.mark.django_db
DAY, BEFORE = "2027-03-11", "2027-03-10"
PHONE, TABLET = "aaaaaaaaaaaaaaaa", "bbbbbbbbbbbbbbbb"


@pytest.fixture(autouse=True)
def _now() -> Iterator[Any]:
    with time_machine.travel(stored.NOW, tick=False) as clock:
        yield clock


class Cast:
    """An athlete with one split, their signed-in browser, and their phone's token."""

    def __init__(self) -> None:
        self.squad = stored.squad()
        self.own, self.mate = stored.athletes(["a1", "a2"], self.squad)
        stored.share([self.own])
        stored.conclude([self.own, self.mate], stored.event())
        told = {"site": "R-web", "kind": "cut", "noticed_on": "2027-03-08"}
        self.damage = Damage.objects.create(athlete=self.own, code="d1", **told)
        self.browser = Client()
        self.account = stored.login("athlete", None, [self.own])
        self.browser.force_login(self.account)
        made = self.browser.post("/account/tokens", {"label": "my phone", "action": "phone"}).context["made"]
        self.phone = Client(headers={"authorization": f"Bearer {made}"})

    def take(
        self, seq: int, device: str = PHONE, kind: str = "check-in", by: Any = None, key: str = "", **body: Any
    ) -> Any:
        sent = {"kind": kind, "device": device, "seq": seq, "body": {"local_date": DAY, **body}}
        sent |= {name: sent["body"].pop(name) for name in ("timezone", "said_at") if name in sent["body"]}
        return send(by or self.phone, "athletes/a1/deliveries", sent, headers={"idempotency-key": key or uuid4().hex})

    def row(self, day: str = DAY) -> CheckIn:
        return CheckIn.objects.get(athlete=self.own, local_date=day)


@pytest.fixture
def cast() -> Cast:
    return Cast()


def test_a_phones_token_stores_and_hears_the_highest_number(cast: Cast) -> None:
    first = cast.take(7, reserve=6)
    assert (first.status_code, first.json()["seen"], first.json()["corrected"]) == (201, 7, False)
    older = cast.take(3, device=TABLET, reserve=2, dampness=4)
    assert (older.status_code, older.json()["seen"]) == (200, 7)
    assert (cast.row().reserve, cast.row().dampness) == (6, 4)  # the later number stands, and nothing else is lost


def test_a_phone_stores_for_nobody_else_and_a_coach_not_at_all(cast: Cast) -> None:
    sent = {"kind": "check-in", "device": PHONE, "seq": 1, "body": {"local_date": DAY, "reserve": 5}}
    assert send(cast.phone, "athletes/a2/deliveries", sent).status_code == 404
    coach = Client()
    coach.force_login(stored.login("head-coach", cast.squad))
    assert send(coach, "athletes/a1/deliveries", sent).status_code == 404
    assert not Delivery.objects.exists()


def test_the_same_entry_twice_is_once_under_its_key_and_under_another(cast: Cast) -> None:
    key = uuid4().hex
    answers = [cast.take(1, key=key, reserve=6), cast.take(1, key=key, reserve=6), cast.take(1, reserve=6)]
    assert [a.status_code for a in answers] == [201, 201, 200]
    assert (Delivery.objects.count(), Correction.objects.count()) == (1, 0)
    other = cast.take(1, reserve=9)
    assert (other.status_code, other.json()["errors"][0]["pointer"]) == (422, "#/seq")
    assert cast.row().reserve == 6


def test_what_the_page_stored_meanwhile_follows_what_had_arrived_by_then(cast: Cast) -> None:
    cast.take(5, reserve=6, dampness=4)
    sent = {"day": DAY, "reserve": "2", "note": "from the page"}
    assert cast.browser.post("/me/check-in", sent).status_code == 302
    cast.take(4, device=TABLET, reserve=9, sting=3)  # made before anything of this was seen
    row = cast.row()
    assert (row.reserve, row.dampness, row.sting, row.note) == (2, 4, 3, "from the page")
    cast.take(6, reserve=8)  # made after the fifth was seen, so it knew of the page
    assert (cast.row().reserve, cast.row().note) == (8, "from the page")
    assert [one.after["reserve"] for one in Correction.objects.order_by("id")][-1] == 8


def test_a_look_of_the_teams_is_not_overwritten_by_what_was_made_before_it(cast: Cast) -> None:
    cast.take(5, looks=[{"episode_id": "d1", "stage": "open", "pain": 6}])
    medical = stored.login("medical", cast.squad)
    stored.share([cast.own], role="medical")
    client = Client()
    client.force_login(medical)
    look = {"local_date": DAY, "stage": "closing"}
    assert send(client, "athletes/a1/damage/d1/looks", look).status_code == 200
    cast.take(2, device=TABLET, looks=[{"episode_id": "d1", "stage": "open", "opens_on_pull": True}])
    row = Look.objects.get(damage=cast.damage)
    assert (row.stage, row.pain, row.opens_on_pull) == ("closing", 6, True)


def test_no_later_entry_undoes_an_alarm(cast: Cast) -> None:
    cast.take(1, sign_unnamed=True, note="hot since noon")
    cast.take(2, device=TABLET, red_flags=["pus"])
    cast.take(9, red_flags=[], note="all fine")
    row = cast.row()
    assert row.red_flags == ["pus"] and UNNAMED_SIGN in row.note and row.note.startswith("all fine")


def test_an_alarm_that_arrives_last_but_is_older_still_counts(cast: Cast) -> None:
    cast.take(9, red_flags=[], note="all fine")
    cast.take(1, sign_unnamed=True)
    assert UNNAMED_SIGN in cast.row().note and cast.row().note.startswith("all fine")


def test_sessions_and_new_damage_fold_as_well(cast: Cast) -> None:
    cast.take(4, kind="session", minutes=60, started_at=f"{DAY}T07:30:00+01:00")
    cast.take(3, TABLET, kind="session", minutes=30, hard_tries=12, started_at=f"{DAY}T08:00:00+01:00")
    cast.take(5, kind="session", ordinal=2, skin_limited=True)
    rows = Session.objects.filter(athlete=cast.own, planned=False).order_by("ordinal")
    assert [(row.minutes, row.hard_tries, row.skin_limited) for row in rows] == [(60, 12, None), (None, None, True)]
    cast.take(6, damage=[{"site": "L-index-tip", "kind": "split"}])
    cast.take(2, TABLET, damage=[{"site": "L-index-tip", "kind": "split", "depth": "deep"}])
    assert Damage.objects.get(site="L-index-tip").depth == "deep"


def test_an_instant_in_another_offset_is_the_same_and_no_news(cast: Cast) -> None:
    """Else it would count as told by another way, and stand over an entry that is newer than it."""
    cast.take(5, kind="session", started_at=f"{DAY}T07:30:00+01:00")
    cast.take(9, device=TABLET, kind="session", minutes=10)
    cast.take(7, kind="session", started_at=f"{DAY}T06:00:00+01:00")
    assert Session.objects.get(athlete=cast.own, planned=False).started_at.hour == 5
    assert not Delivery.objects.filter(device="").exists()


def test_a_day_to_come_is_refused_and_taken_once_it_has_begun_where_the_phone_is(cast: Cast, _now: Any) -> None:
    ahead = "2027-03-12"
    _now.move_to(stored.NOW + timedelta(hours=3))  # noon in UTC, two in the night of the twelfth at UTC+14
    refused = cast.take(1, local_date=ahead, reserve=5, timezone="Europe/Vienna")
    assert refused.status_code == 422
    error = refused.json()["errors"][0]
    assert error["pointer"] == "#/body/local_date" and "which day" in error["detail"]
    assert not Delivery.objects.exists()
    taken = cast.take(1, local_date=ahead, reserve=5, timezone="Pacific/Kiritimati")
    assert (taken.status_code, cast.row(ahead).reserve) == (201, 5)
    conclude.conclude([cast.own.id], stored.TODAY)  # a day ahead of home breaks nothing
    assert cast.take(2, local_date="2027-03-13", timezone="Pacific/Kiritimati").status_code == 422


@pytest.mark.parametrize("days, status", [(30, 201), (31, 422)])
def test_late_answers_are_taken_by_day_for_a_month(cast: Cast, days: int, status: int) -> None:
    day = (stored.TODAY - timedelta(days=days)).isoformat()
    assert cast.take(1, local_date=day, reserve=5).status_code == status


def test_a_clock_that_is_wrong_changes_nothing(cast: Cast) -> None:
    cast.take(2, reserve=6, said_at="2027-03-10T09:00:00Z")
    cast.take(1, TABLET, reserve=1, said_at="2027-03-12T09:00:00Z")  # a day ahead, and still the older one
    assert cast.row().reserve == 6


def test_a_programs_token_needs_the_scope_of_the_kind(cast: Cast) -> None:
    text = tokens.make(cast.account.person.code, ["checkins"], 30, stored.NOW)
    program = Client(headers={"authorization": f"Bearer {text}"})
    assert cast.take(1, by=program, reserve=5).status_code == 201
    assert cast.take(2, by=program, kind="session", minutes=5).status_code == 403


@pytest.mark.parametrize(
    "changed",
    [
        {"kind": "decision"}, {"device": "XYZ"}, {"seq": 0}, {"seq": 2**53}, {"body": []}, {"body": {"reserve": 11}},
        {"more": 1},
    ],  # fmt: skip
)
def test_what_is_not_an_entry_is_refused_and_nothing_is_kept(cast: Cast, changed: dict[str, Any]) -> None:
    sent = {"kind": "check-in", "device": PHONE, "seq": 1, "body": {"local_date": DAY, "reserve": 5}, **changed}
    assert send(cast.phone, "athletes/a1/deliveries", sent).status_code == 422
    assert not Delivery.objects.exists() and not CheckIn.objects.exists()


def test_entries_go_after_their_term(cast: Cast) -> None:
    cast.take(1, reserve=5)
    with time_machine.travel(stored.NOW + timedelta(days=60), tick=False):
        assert retention.keep_terms(dry=True).counts["deliveries"] == 0
    with time_machine.travel(stored.NOW + timedelta(days=62), tick=False):
        assert retention.keep_terms(dry=False).counts["deliveries"] == 1


def test_taps_are_a_set_whatever_their_order_and_how_often(cast: Cast) -> None:
    def tap(seq: int, key: str, **more: Any) -> int:
        body = {"local_date": DAY, "key": key, "ordinal": 1, "what": "try", "surface": "wood", "at": f"{DAY}T08:00:00Z"}
        sent = {"kind": "tap", "device": PHONE, "seq": seq, "body": {**body, **more}}
        return int(send(cast.phone, "athletes/a1/deliveries", sent).status_code)

    assert tap(2, "one", back=True) == 201  # taken back before it arrives
    assert [tap(n, "one") for n in (1, 3)] == [201, 201] and tap(4, "two") == 201
    assert counting.of_session(taps.of_day(cast.own.id, stored.TODAY), 1).total == 1



def test_a_note_of_damage_brings_its_photo_which_is_kept_once_and_not_in_the_log(cast: Cast) -> None:
    out = io.BytesIO()
    Image.new("RGB", (320, 320), (200, 120, 90)).save(out, "JPEG", comment=b"canary-of-a-camera")
    photo = "data:image/jpeg;base64," + base64.b64encode(out.getvalue()).decode()
    note = {"kind": "damage", "site": "L-index-tip", "bled": True, "red_flags": [], "photo": photo}
    sent = {"kind": "damage", "device": PHONE, "seq": 1, "body": {"local_date": BEFORE, **note, "kind": "flapper"}}
    first = send(cast.phone, "athletes/a1/deliveries", sent)
    again = send(cast.phone, "athletes/a1/deliveries", sent)
    assert (first.status_code, again.status_code) == (201, 200), first.content
    row = Damage.objects.get(site="L-index-tip")
    assert (row.kind, row.depth, row.noticed_on.isoformat()) == ("flapper", "deep", BEFORE)
    picture = Photo.objects.get()
    assert b"canary" not in bytes(picture.content)
    kept = Delivery.objects.get().body["photo"]
    assert len(kept) == 64 and "base64" not in str(Delivery.objects.get().body)
    wrong = send(cast.phone, "athletes/a1/deliveries", {**sent, "seq": 2, "body": {**sent["body"], "photo": "AAAA"}})
    assert wrong.json()["errors"][0]["pointer"] == "#/body/photo"
    again = {**sent, "seq": 3}  # the same note under another number, as after an answer that was lost on a page
    assert send(cast.phone, "athletes/a1/deliveries", again).status_code == 201
    assert (Damage.objects.filter(site="L-index-tip").count(), Photo.objects.count()) == (1, 1)
