"""Many equal requests at once, over the wire: one row, one answer. A phone that is not sure sends again, and a queue of
retries must not become a queue of facts.

64 at once is the number that made duplicates in systems that look first and insert then, and 50 rounds of it. The 64
callers stay the same, each with its connection, so that a round is nothing but the requests; TENPADS_EQUAL_ROUNDS asks
for another number.
"""

from __future__ import annotations

import http.client
import json
import os
import queue
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
import time_machine
from django.conf import settings
from django.db import connection, transaction
from django.test import Client

from athletes.records import repeats
from athletes.records.models import Account, Care, Correction, Look, SentBefore
from coaching.ledger.models import Staleness
from coaching.usecases import api_tokens, clock, once
from tests import api_cast, databases, stored
from tests.api_calls import send

ROUNDS = int(os.environ.get("TENPADS_EQUAL_ROUNDS", "50"))
AT_ONCE, PAIRS = 64, 32
PATIENCE_S = 30


def database_url() -> str:
    found = settings.DATABASES["default"] | connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{found['NAME']}"
    return f"postgres://{found['USER']}@{found['HOST']}:{found['PORT']}/{found['NAME']}"


@contextmanager
def serving() -> Iterator[int]:
    """Two processes of eight threads each, on the database that the test points at; yields the port."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    kept = {k: v for k, v in os.environ.items() if not k.startswith("TENPADS_")}
    more = {"TENPADS_DATABASE_URL": database_url(), "TENPADS_SECRET_KEY": uuid4().hex, "TENPADS_EMBEDDED": "0"}
    options = ["--workers", "2", "--threads", "8", "--worker-class", "gthread", "--no-control-socket"]
    options += ["--keep-alive", str(PATIENCE_S)]  # callers keep their connections while the test looks at the rows
    where = ["--log-level", "error", "--bind", f"127.0.0.1:{port}", "coaching.config.wsgi"]
    command = [sys.executable, "-m", "gunicorn", *options, *where]
    process = subprocess.Popen(command, cwd=settings.ROOT, env=kept | more)
    try:
        _wait_for(port, process)
        yield port
    finally:
        process.terminate()
        process.wait(PATIENCE_S)


def _wait_for(port: int, process: subprocess.Popen[bytes]) -> None:
    deadline = time.monotonic() + PATIENCE_S
    while time.monotonic() < deadline and process.poll() is None:
        try:
            if ask(port, "GET", "/healthz")[0] == 200:
                return
        except OSError:
            time.sleep(0.05)
    raise AssertionError("the server did not come up")


def ask(port: int, method: str, path: str, body: Any = None, **headers: str) -> tuple[int, bytes]:
    client = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
    try:
        sent = {"Content-Type": "application/json", **headers}
        client.request(method, path, None if body is None else json.dumps(body), sent)
        answer = client.getresponse()
        return answer.status, answer.read()
    finally:
        client.close()


class Callers:
    """So many threads, each with a connection of its own that it keeps, that send when all are ready."""

    def __init__(self, port: int, path: str) -> None:
        self._port, self._path = port, path
        self._ready = threading.Barrier(AT_ONCE)
        self._todo: list[queue.SimpleQueue[Any]] = [queue.SimpleQueue() for _ in range(AT_ONCE)]
        self._found: queue.SimpleQueue[tuple[int, bytes] | Exception] = queue.SimpleQueue()
        self._threads = [threading.Thread(target=self._call, args=(todo,), daemon=True) for todo in self._todo]
        for thread in self._threads:
            thread.start()

    def _call(self, todo: queue.SimpleQueue[Any]) -> None:
        client = http.client.HTTPConnection("127.0.0.1", self._port, timeout=PATIENCE_S)
        while (sent := todo.get()) is not None:
            try:
                client.connect() if client.sock is None else None
                self._ready.wait(PATIENCE_S)
                client.request("POST", self._path, *sent)
                answer = client.getresponse()
                self._found.put((answer.status, answer.read()))
            except Exception as error:  # handed on to the test
                self._found.put(error)
        client.close()

    def all_at_once(self, body: Any, **headers: str) -> list[tuple[int, bytes]]:
        """What each of them is answered; raises the first error of any."""
        for todo in self._todo:
            todo.put((json.dumps(body), {"Content-Type": "application/json", **headers}))
        found = [self._found.get(timeout=PATIENCE_S) for _ in self._todo]
        errors = [one for one in found if isinstance(one, Exception)]
        if errors:
            raise errors[0]
        return [one for one in found if not isinstance(one, Exception)]

    def go_home(self) -> None:
        for todo in self._todo:
            todo.put(None)
        for thread in self._threads:
            thread.join(PATIENCE_S)


@pytest.fixture(params=["SQLite", pytest.param("PostgreSQL", marks=pytest.mark.service)])
def store(request: Any, tmp_path: Path, django_db_blocker: Any) -> Iterator[None]:
    """A database of the test's own that several connections can use."""
    with django_db_blocker.unblock():
        with databases.filed(tmp_path) if request.param == "SQLite" else databases.served():
            yield


@pytest.mark.slow
def test_of_64_equal_posts_at_once_one_is_stored(store: None) -> None:
    """Care is appended, so that nothing but the key keeps the second one out."""
    squad = stored.squad()
    account = stored.login("athlete", squad, stored.athletes(["a1"], squad))
    token = api_tokens.make_token(account.person.code, ["write"], 1)
    today = clock.now().date().isoformat()
    with serving() as port:
        callers = Callers(port, "/api/v1/athletes/a1/care")
        for n in range(1, ROUNDS + 1):
            body = {"local_date": today, "status": "done", "verb": "soften", "form": "wax balm", "uses": n % 20}
            headers = {"Authorization": f"Bearer {token}", "Idempotency-Key": f"round-{n}"}
            found = callers.all_at_once(body, **headers)
            assert len(found) == AT_ONCE
            assert {status for status, _ in found} == {201} and len({text for _, text in found}) == 1
            assert Care.objects.count() == SentBefore.objects.count() == Staleness.objects.get().input_rev == n
        callers.go_home()


@pytest.mark.service
@pytest.mark.parametrize("store", ["PostgreSQL"], indirect=True)
def test_whoever_meets_a_request_in_flight_waits_a_little_and_is_told(
    store: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On SQLite whoever writes is alone, and the second waits for the whole transaction."""
    monkeypatch.setattr(repeats, "WAIT_S", 0.2)
    sent = repeats.Sent(stored.login("manager", stored.squad()).id, "k", "0" * 64)
    answer = once.Answer(201, "{}")

    def first() -> once.Answer:
        with pytest.raises(once.InFlight):
            raise databases.at_once(lambda: _tried(sent, answer), 1)[0]
        return answer

    assert once.once(sent, lambda: None, first) == answer
    assert once.once(sent, lambda: None, lambda: pytest.fail("done twice")).again


def _tried(sent: repeats.Sent, answer: once.Answer) -> Any:
    try:
        return once.once(sent, lambda: None, lambda: answer)
    except once.InFlight as told:
        return told


def test_of_two_changes_at_once_one_is_told(store: None) -> None:
    """Two coaches change one look over the version that both have read."""
    with time_machine.travel(stored.NOW):
        with transaction.atomic():
            coach, other = api_cast.cast("head-coach"), Client()
        other.force_login(Account.objects.get())
        told = send(coach, "athletes/a1/damage/d1/looks", {"local_date": api_cast.DAY, "stage": "open"}).json()
        path = f"athletes/a1/looks/{told['look_id']}"
        for n in range(PAIRS):
            assert sorted(_both(path, coach, other, n)) == [200, 412]
    assert Look.objects.get().version == PAIRS + 1 and Correction.objects.count() == PAIRS


def _both(path: str, coach: Client, other: Client, n: int) -> list[int]:
    headers = {"if-match": coach.get(f"/api/v1/{path}")["ETag"]}
    todo = iter([(coach, n % 11), (other, (n + 5) % 11)])

    def change() -> int:
        client, pain = next(todo)
        return int(send(client, path, {"pain": pain}, "patch", headers=dict(headers)).status_code)

    return databases.at_once(change, 2)
