"""POST under an Idempotency-Key: once stored, always answered alike, and never given to whoever may see no more."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.db import transaction
from django.test import Client

from athletes.records import repeats
from athletes.records.models import Account, CheckIn, SentBefore, Session, Sighting
from coaching.ledger.models import Staleness
from coaching.usecases import nudge, once
from tests import stored
from tests.api_calls import GOOD, nothing_stored, post, send

pytestmark = pytest.mark.django_db
KEY = {"headers": {"idempotency-key": "k-1"}}
SESSION = {"local_date": "2027-03-11", "planned": False, "minutes": 90}


@pytest.fixture(autouse=True)
def clock() -> Any:
    with time_machine.travel(stored.NOW, tick=False) as found:
        yield found


@pytest.fixture
def mine() -> Client:
    client = Client()
    client.force_login(stored.login("athlete", None, stored.athletes(["a1"], stored.squad())))
    return client


@pytest.mark.parametrize("key", [None, "", " ", "a b", "é", "x" * 256])
def test_without_a_proper_key_nothing_is_stored_and_the_answer_says_what_to_do(mine: Client, key: str | None) -> None:
    headers = {} if key is None else {"Idempotency-Key": key}
    answer = mine.post("/api/v1/athletes/a1/check-ins", GOOD, content_type="application/json", headers=headers)
    assert answer.status_code == 400 and "Idempotency-Key" in answer.json()["detail"] and nothing_stored()


def test_the_same_request_again_gets_the_same_bytes_and_stores_nothing(mine: Client) -> None:
    """The first is 201; sent again under its key it still is, though by now it would be a correction."""
    first, again = post(mine, GOOD, **KEY), post(mine, GOOD | {}, **KEY)
    assert (first.status_code, first.content) == (again.status_code, again.content) and first.status_code == 201
    assert (CheckIn.objects.count(), Staleness.objects.get().input_rev) == (1, 1)


def test_how_the_json_is_laid_out_does_not_count(mine: Client) -> None:
    first = post(mine, '{"local_date":"2027-03-11","reserve":6}', **KEY)
    again = post(mine, '{ "reserve": 6, "local_date": "2027-03-11" }', **KEY)
    assert first.content == again.content and first.status_code == again.status_code == 201


def test_the_same_key_with_another_body_is_refused(mine: Client) -> None:
    post(mine, GOOD, **KEY)
    answer = post(mine, GOOD | {"reserve": 1}, **KEY)
    assert answer.status_code == 422 and "Idempotency-Key" in answer.json()["detail"]
    assert CheckIn.objects.get().reserve == 6


def test_the_same_key_at_another_address_is_refused(mine: Client) -> None:
    post(mine, GOOD, **KEY)
    assert send(mine, "athletes/a1/sessions", SESSION, **KEY).status_code == 422
    assert not Session.objects.exists()


def test_another_account_may_use_the_same_key() -> None:
    rows = stored.athletes(["a1", "a2"], stored.squad())
    for row in rows:
        client = Client()
        client.force_login(stored.login("athlete", None, [row]))
        assert post(client, GOOD, row.code, **KEY).status_code == 201
    assert CheckIn.objects.count() == SentBefore.objects.count() == 2


def test_a_refused_request_leaves_its_key_free(mine: Client) -> None:
    assert post(mine, GOOD | {"reserve": 11}, **KEY).status_code == 422
    assert post(mine, GOOD | {"local_date": "2027-03-12"}, **KEY).status_code == 422
    assert not SentBefore.objects.exists() and nothing_stored()
    assert post(mine, GOOD, **KEY).status_code == 201


def test_a_key_is_good_for_thirty_days_and_then_forgotten(mine: Client, clock: Any) -> None:
    me = Account.objects.get()
    send(mine, "athletes/a1/sessions", SESSION, **KEY)
    clock.shift(timedelta(days=30))
    mine.force_login(me)
    assert send(mine, "athletes/a1/sessions", SESSION, **KEY).status_code == 201 and once.forget_old() == 0
    clock.shift(timedelta(seconds=1))
    assert send(mine, "athletes/a1/sessions", SESSION | {"minutes": 5}, **KEY).status_code == 200
    assert once.forget_old() == 0 and SentBefore.objects.count() == 1
    clock.shift(timedelta(days=31))
    assert once.forget_old() == 1 and not SentBefore.objects.exists()


def test_an_old_answer_is_not_given_where_nothing_is_shared_any_more() -> None:
    squad = stored.squad()
    stored.share(stored.athletes(["a1"], squad), ["level", "damage"])
    client = Client()
    client.force_login(stored.login("head-coach", squad))
    seen = {"local_date": "2027-03-11", "marks": [{"site": "L-index-tip", "mark": "pink"}]}
    assert send(client, "athletes/a1/sightings", seen, **KEY).status_code == 201
    stored.withdraw()
    assert send(client, "athletes/a1/sightings", seen, **KEY).status_code == 404
    assert Sighting.objects.count() == 1


def test_what_is_kept_of_a_request_goes_with_its_athlete(mine: Client) -> None:
    post(mine, GOOD, **KEY)
    CheckIn.objects.get().athlete.delete()
    assert not SentBefore.objects.exists()


def test_a_request_in_flight_is_told_when_to_come_back(mine: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    def busy(*args: Any) -> None:
        raise repeats.InFlight

    monkeypatch.setattr(repeats, "begin", busy)
    answer = post(mine, GOOD, **KEY)
    assert (answer.status_code, answer["Retry-After"]) == (409, "1") and nothing_stored()


@pytest.mark.django_db(transaction=True)
def test_whoever_computes_is_told_once_and_after_the_commit() -> None:
    woken: list[bool] = []
    client = Client()
    client.force_login(stored.login("athlete", None, stored.athletes(["a1"], stored.squad())))
    wake = lambda: woken.append(transaction.get_connection().in_atomic_block)  # noqa: E731
    nudge.listen(wake)
    try:
        post(client, GOOD, **KEY)
        post(client, GOOD, **KEY)
    finally:
        nudge.unlisten(wake)
    assert woken == [False]
