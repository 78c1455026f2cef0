"""A day's first answers in one statement on PostgreSQL come to the same as in the transaction that it stands for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from uuid import uuid4

import psycopg
import pytest
import time_machine
from django.db import close_old_connections, connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from athletes.records.models import CheckIn, Correction, Damage, SentBefore
from coaching.ledger.models import Staleness
from coaching.usecases import checkin_at_once, nudge
from tests import databases, stored
from tests.api_calls import GOOD, post

pytestmark = pytest.mark.service
AT_ONCE = 16
OWN = ("id", "athlete_id", "account_id", "digest")
"""What names the athlete, their login or their address."""


@pytest.fixture
def served(django_db_blocker: Any) -> Iterator[None]:
    with django_db_blocker.unblock(), databases.served(), time_machine.travel(stored.NOW, tick=False):
        yield


@pytest.fixture
def client(served: None) -> Client:
    return of("a1", stored.squad())


def of(code: str, squad: Any) -> Client:
    client = Client()
    client.force_login(stored.login("athlete", squad, stored.athletes([code], squad)))
    return client


def key(text: str = "") -> dict[str, Any]:
    return {"headers": {"idempotency-key": text or uuid4().hex}}


def test_it_is_one_statement_and_no_transaction_beside_it(client: Client) -> None:
    with CaptureQueriesContext(connection) as asked:
        assert post(client, GOOD, **key()).status_code == 201
    writing = [query["sql"] for query in asked if "SELECT" not in query["sql"][:8]]
    assert len(writing) == 1 and writing[0].startswith("WITH taken AS")


def test_rows_and_answer_are_those_of_the_longer_way(served: None, monkeypatch: pytest.MonkeyPatch) -> None:
    squad = stored.squad()
    first, second = of("a1", squad), of("a2", squad)
    short = post(first, GOOD, **key("one"))
    monkeypatch.setattr(checkin_at_once, "record_at_once", lambda *_: None)
    long = post(second, GOOD, code="a2", **key("one"))
    assert (short.status_code, short.content.replace(b"a1", b"a2")) == (long.status_code, long.content)
    for table in (CheckIn, SentBefore, Staleness):
        rows = [{k: v for k, v in row.items() if k not in OWN} for row in table.objects.order_by("athlete_id").values()]
        assert [str(row).replace("a1", "a2") for row in rows[:1]] == [str(row) for row in rows[1:]]


def test_the_same_again_gets_the_same_bytes_and_another_body_is_refused(client: Client) -> None:
    first, again = post(client, GOOD, **key("k")), post(client, GOOD, **key("k"))
    assert (first.status_code, first.content) == (again.status_code, again.content)
    assert post(client, GOOD | {"reserve": 1}, **key("k")).status_code == 422
    assert (CheckIn.objects.count(), SentBefore.objects.count(), Staleness.objects.get().input_rev) == (1, 1, 1)


def test_a_second_report_of_the_day_is_a_correction_with_its_trace(client: Client) -> None:
    post(client, GOOD, **key())
    answer = post(client, GOOD | {"reserve": 1}, **key())
    assert answer.status_code == 200 and answer.json()["corrected"]
    assert CheckIn.objects.get().reserve == 1 and Correction.objects.exists()
    assert (SentBefore.objects.count(), Staleness.objects.get().input_rev) == (2, 2)


@pytest.mark.parametrize("odd", [{"local_date": "2031-01-01"}, {"local_date": "2026-03-11"}, {"reserve": 11}])
def test_what_is_refused_stores_nothing(client: Client, odd: dict[str, Any]) -> None:
    assert post(client, GOOD | odd, **key()).status_code == 422
    assert not CheckIn.objects.exists() and not SentBefore.objects.exists() and not Staleness.objects.exists()


def test_damage_goes_with_the_answers_it_came_with(client: Client) -> None:
    body = GOOD | {"damage": [{"site": "R-web", "kind": "tear"}]}
    assert post(client, body, **key()).status_code == 201
    assert Damage.objects.count() == CheckIn.objects.count() == Staleness.objects.get().input_rev == 1


def test_equal_ones_at_once_are_one_and_unequal_ones_are_one_and_corrections(client: Client) -> None:
    equal = databases.at_once(lambda: post(client, GOOD, **key("k")), AT_ONCE)
    assert {answer.status_code for answer in equal} == {201} and len({answer.content for answer in equal}) == 1
    assert (CheckIn.objects.count(), SentBefore.objects.count(), Staleness.objects.get().input_rev) == (1, 1, 1)
    other = GOOD | {"local_date": "2027-03-10"}
    unequal = databases.at_once(lambda: post(client, other, **key()), AT_ONCE)
    assert sorted(answer.status_code for answer in unequal).count(201) >= 1
    assert {answer.status_code for answer in unequal} <= {200, 201}
    assert (CheckIn.objects.count(), Staleness.objects.get().input_rev) == (2, 1 + AT_ONCE)


def test_whoever_computes_is_told_once_it_stands(client: Client) -> None:
    woken: list[int] = []
    wake = lambda: woken.append(CheckIn.objects.count())  # noqa: E731
    nudge.listen(wake)
    try:
        post(client, GOOD, **key("k"))
        post(client, GOOD, **key("k"))
    finally:
        nudge.unlisten(wake)
    assert woken == [1]


def test_a_stranger_to_the_athlete_finds_nobody(client: Client) -> None:
    assert post(client, GOOD, code="nobody", **key()).status_code == 404 and not SentBefore.objects.exists()


def test_a_session_that_the_server_ended_is_noticed_without_a_question(served: None) -> None:
    """A restarted server ends its sessions; the next request gets a new one and no error."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_backend_pid()")
        mine = cursor.fetchone()[0]
    close_old_connections()  # as at the end of a request, and the beginning of the next
    with CaptureQueriesContext(connection) as asked:
        assert not CheckIn.objects.exists()
    assert len(asked) == 1
    with psycopg.connect(**databases.SERVER, autocommit=True) as server:
        server.execute("SELECT pg_terminate_backend(%s)", [mine])
        while server.execute("SELECT count(*) FROM pg_stat_activity WHERE pid = %s", [mine]).fetchone() != (0,):
            pass
    close_old_connections()
    assert not CheckIn.objects.exists()
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_backend_pid()")
        assert cursor.fetchone()[0] != mine
