"""Looks and steps that a phone kept: taken late, twice and out of order, with the page's own word between. The order is
Lamport's (Comm. ACM 21 (7), 1978, from memory); the rest is ours.
"""

from __future__ import annotations

import base64
import random
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
import time_machine

from athletes.records.models import Care, CheckIn, Correction, Damage, Delivery, Look, Photo
from coaching.rules.medical import UNNAMED_SIGN
from tests import shown_cast, stored
from tests.unit.test_deliveries import BEFORE, DAY, TABLET, Cast
from tests.unit.test_photo_cleaning import CANARY, jpeg

pytestmark = pytest.mark.django_db
STEP = shown_cast.athlete().steps[0]
TOLD = {"verb": STEP.verb, "form": STEP.form, "part": STEP.part, "sites": [*STEP.sites]}
KEY = f"{STEP.part}|{STEP.form}|{';'.join(STEP.sites)}"


@pytest.fixture
def cast() -> Iterator[Cast]:
    with time_machine.travel(stored.NOW, tick=False):
        yield Cast()


def look(cast: Cast, seq: int, device: str = TABLET, **said: Any) -> int:
    return int(cast.take(seq, device, kind="look", episode_id="d1", **said).status_code)


def test_a_look_alone_is_no_check_in(cast: Cast) -> None:
    assert look(cast, 1, stage="closing", pain=3, bled=False) == 201
    row = Look.objects.get()
    assert (row.local_date.isoformat(), row.stage, row.pain, row.bled) == (DAY, "closing", 3, False)
    assert not CheckIn.objects.exists()


def test_a_look_and_a_check_in_of_one_day_are_one_register(cast: Cast) -> None:
    """Whichever form it came by, the newest word on the site stands, in any order of arrival."""
    entries: list[tuple[int, str, dict[str, Any]]] = [
        (2, "check-in", {"reserve": 4, "looks": [{"episode_id": "d1", "stage": "open", "pain": 6}]}),
        (5, "look", {"episode_id": "d1", "stage": "closing", "bled": False}),
        (7, "check-in", {"dampness": 2, "looks": [{"episode_id": "d1", "stage": "rimmed", "opens_on_pull": True}]}),
        (9, "look", {"episode_id": "d1", "stage": "thinned"}),
    ]
    for seed in range(24):
        random.Random(seed).shuffle(entries)
        for seq, kind, body in entries:
            assert cast.take(seq, kind=kind, **body).status_code in (200, 201)
        row, day = Look.objects.get(), cast.row()
        assert (row.stage, row.pain, row.opens_on_pull, row.bled) == ("thinned", 6, True, False), f"seed {seed}"
        assert (day.reserve, day.dampness, Delivery.objects.filter(device="").count()) == (4, 2, 0)
        for model in (Look, CheckIn, Delivery):
            model.objects.all().delete()


def test_what_the_page_says_of_a_look_meanwhile_is_not_lost(cast: Cast) -> None:
    look(cast, 5, stage="closing", pain=4)
    assert cast.browser.post("/me/damage/d1", {"stage": "rimmed", "bled": "no"}).status_code == 302
    look(cast, 3, stage="open", opens_on_pull=False)  # older than all of it
    row = Look.objects.get()
    assert (row.stage, row.pain, row.bled, row.opens_on_pull) == ("rimmed", 4, False, False)


def test_signs_of_a_look_stand_where_the_rules_read_them_and_a_photo_is_kept_once(cast: Cast) -> None:
    photo = base64.b64encode(jpeg()).decode()
    assert look(cast, 1, red_flags=["pus"], sign_unnamed=True, photo=photo) == 201
    assert look(cast, 2, photo=photo) in (200, 201)
    assert cast.row().red_flags == ["pus"] and UNNAMED_SIGN in cast.row().note
    picture = Photo.objects.get()
    assert CANARY not in bytes(picture.content) and not Look.objects.exists()


@pytest.mark.parametrize(
    ("said", "where"),
    [
        ({"pain": 3}, "#/body/stage"),
        ({}, "#/body/stage"),
        ({"stage": "open", "episode_id": "d9"}, "#/body/episode_id"),
        ({"photo": base64.b64encode(jpeg()).decode(), "episode_id": "d9"}, "#/body/episode_id"),
        ({"stage": "open", "local_date": "2027-03-12"}, "#/body/local_date"),
        ({"stage": "open", "local_date": "2027-03-01"}, "#/body/local_date"),
    ],
    ids=["no stage", "nothing", "no such damage", "photo of no such damage", "to come", "before it was noticed"],
)
def test_a_look_that_cannot_be_says_where(cast: Cast, said: dict[str, Any], where: str) -> None:
    answer = cast.take(1, kind="look", **{"episode_id": "d1", **said})
    assert (answer.status_code, answer.json()["errors"][0]["pointer"].split("/0")[0]) == (422, where)
    assert not Delivery.objects.exists() and not Photo.objects.exists()


def step(cast: Cast, seq: int, status: str, device: str = TABLET, **more: Any) -> int:
    return int(cast.take(seq, device, kind="step", status=status, **{**TOLD, **more}).status_code)


def told() -> list[tuple[str, str]]:
    return [(row.local_date.isoformat(), row.status) for row in Care.objects.order_by("id")]


def test_a_step_is_what_was_said_last_whatever_arrives_first(cast: Cast) -> None:
    assert step(cast, 5, "skipped") == 201
    assert step(cast, 2, "done", "a" * 16) == 201
    assert told() == [(DAY, "skipped")]
    assert step(cast, 9, "none") == 200 and told() == []
    assert step(cast, 7, "done") == 201 and told() == []  # older than its taking back
    assert step(cast, 11, "done") == 201 and told() == [(DAY, "done")]


def test_a_step_told_and_taken_back_on_the_page_meanwhile(cast: Cast) -> None:
    step(cast, 5, "done")
    cast.browser.post("/me/today", {"back": str(Care.objects.get().id)})
    assert told() == []
    step(cast, 3, "skipped", "a" * 16)  # older than all of it, so that it does not come back
    assert told() == []
    cast.browser.post("/me/today", {"step": KEY, "status": "done"})
    step(cast, 4, "skipped", "a" * 16)
    assert told() == [(DAY, "done")] and Correction.objects.filter(table="care").count() == 1


def test_a_step_of_a_day_gone_by_is_taken_and_one_to_come_is_not(cast: Cast) -> None:
    assert step(cast, 1, "done", local_date=BEFORE) == 201 and told() == [(BEFORE, "done")]
    assert step(cast, 2, "done", local_date="2027-03-12") == 422
    late = (stored.TODAY - timedelta(days=31)).isoformat()
    assert step(cast, 3, "done", local_date=late) == 422


def test_a_note_of_damage_is_dated_by_the_day_on_which_it_was_told(cast: Cast) -> None:
    """Four days without a signal between."""
    on = (stored.TODAY - timedelta(days=4)).isoformat()
    said = {"site": "L-index-tip", "stage": "open", "bled": True, "red_flags": ["pus"], "seen_on": on}
    body = {"local_date": on, "kind": "flapper", **said}
    sent = {"kind": "damage", "device": TABLET, "seq": 1, "body": body}
    address = "/api/v1/athletes/a1/deliveries"
    answer = cast.phone.post(address, sent, "application/json", headers={"idempotency-key": "one"})
    assert answer.status_code == 201, answer.content
    damage = Damage.objects.get(site="L-index-tip")
    assert damage.noticed_on.isoformat() == Look.objects.get(damage=damage).local_date.isoformat() == on
    assert cast.row(on).red_flags == ["pus"] and CheckIn.objects.count() == 1
    for n, wrong in enumerate(({"seen_on": BEFORE, "local_date": DAY}, {"seen_on": "2027-03-12"})):
        refused = {**sent, "seq": 2 + n, "body": {**body, **wrong}}
        answer = cast.phone.post(address, refused, "application/json", headers={"idempotency-key": f"{n}"})
        assert answer.status_code == 422


def test_a_photo_as_large_as_a_phone_sends_it_is_not_too_large_a_body(cast: Cast) -> None:
    """Any body of more than 256 KB was refused, and a photo of 1600 px takes more than that in base64."""
    padded = jpeg()[:2] + b"".join(b"\xff\xfe\xff\xff" + b"x" * 65533 for _ in range(12)) + jpeg()[2:]
    assert len(base64.b64encode(padded)) > 2**20
    assert look(cast, 1, stage="open", photo=base64.b64encode(padded).decode()) == 201
    assert Photo.objects.count() == 1
