"""While the database is away: 503 and when to come again, for people and for programs; other faults stay 500."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import InterfaceError, OperationalError
from django.test import Client

from coaching.ledger import periods, staleness
from coaching.usecases import clock, recompute
from coaching.usecases import health as readiness

AT = datetime(2027, 3, 11, 18, tzinfo=UTC)


@pytest.fixture
def client() -> Client:
    return Client(raise_request_exception=False)


def failing(monkeypatch: pytest.MonkeyPatch, error: Exception) -> None:
    """Whatever asks for a session fails, before any view is reached."""

    def fail(*args: Any) -> Any:
        raise error

    monkeypatch.setattr("django.contrib.sessions.backends.db.SessionStore.load", fail)


def signed_in(client: Client) -> Client:
    client.cookies["sessionid"] = "0" * 32
    return client


@pytest.mark.parametrize("error", [OperationalError("connection refused"), InterfaceError("connection closed")])
@pytest.mark.parametrize("path", ["/", "/morning", "/check-in"])
def test_a_page_says_when_to_come_again(
    client: Client, monkeypatch: pytest.MonkeyPatch, error: Exception, path: str
) -> None:
    failing(monkeypatch, error)
    answer = signed_in(client).get(path)
    assert answer.status_code == 503 and int(answer["Retry-After"]) > 0
    assert "send again" in answer.content.decode() and "a doctor today" in answer.content.decode()


def test_a_program_gets_a_problem_document(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    failing(monkeypatch, OperationalError("the database system is starting up"))
    answer = signed_in(client).post("/api/v1/athletes/a1/check-ins", "{}", content_type="application/json")
    assert (answer.status_code, answer["Content-Type"]) == (503, "application/problem+json")
    assert answer.json()["status"] == 503 and int(answer["Retry-After"]) > 0


def test_what_an_outage_caused_is_an_outage(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    error = RuntimeError("while reading")
    error.__cause__ = OperationalError("gone")
    failing(monkeypatch, error)
    assert signed_in(client).get("/").status_code == 503


def test_a_fault_of_ours_stays_a_fault(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    failing(monkeypatch, ZeroDivisionError())
    answer = signed_in(client).get("/")
    assert answer.status_code == 500 and "Retry-After" not in answer


@pytest.mark.django_db
def test_readiness_tells_the_age_of_the_last_sweep_and_turns_nobody_away_for_it() -> None:
    assert readiness.readiness(AT).last_sweep_s is None
    periods.ended(recompute.SWEEP, AT)
    found = readiness.readiness(AT + timedelta(hours=9))
    assert found.ready and (found.last_sweep_s, found.waiting, found.given_up) == (9 * 3600, 0, 0)


@pytest.mark.django_db
def test_readiness_is_told_to_machines() -> None:
    periods.ended(recompute.SWEEP, clock.now())
    body = Client().get("/readyz").json()
    assert body["ready"] and body["last_sweep_s"] >= 0 and body["given_up"] == 0


@pytest.mark.django_db
@pytest.mark.parametrize("error", [OperationalError("refused"), InterfaceError("closed")])
def test_without_the_database_it_is_not_ready(monkeypatch: pytest.MonkeyPatch, error: Exception) -> None:
    def gone(now: datetime) -> int:
        raise error

    monkeypatch.setattr(staleness, "waiting", gone)
    answer = Client().get("/readyz")
    assert answer.status_code == 503 and answer.json()["database"] is False
