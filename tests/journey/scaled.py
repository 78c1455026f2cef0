"""A club on the scale path: PostgreSQL, Redis, web, worker and scheduler of its own, and check-ins sent to it."""

from __future__ import annotations

import http.client
import json
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, timedelta
from importlib import import_module
from pathlib import Path
from uuid import uuid4

import psycopg
from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.core.management import call_command

from athletes.records.models import Account, Athlete, CheckIn, Role
from coaching.ledger.models import Conclusion
from coaching.usecases import clock, conclude, set_up, sign_in
from tests import databases
from tests.journey.own_servers import Ours, OwnPostgreSQL, OwnRedis, free_port, listens, until

SWEEP_S = 5
BEHIND = "SELECT count(*) FROM ledger_staleness WHERE computed_rev < input_rev OR due_at <= now()"
IN_HAND = """SELECT athlete_id, claimed_by FROM ledger_staleness
             WHERE computed_rev < input_rev AND claimed_until > now() AND failure = ''"""


@dataclass(frozen=True)
class Sent:
    """One check-in and what became of it; `status` 0 stands for no answer."""

    code: str
    day: date
    reserve: int
    status: int
    took_s: float
    retry_after: str | None
    said: str

    @property
    def acknowledged(self) -> bool:
        return self.status in (200, 201)


class Club:
    """The demo's athletes, each signed in."""

    def __init__(self, folder: Path) -> None:
        self.redis, self.postgres = OwnRedis(), OwnPostgreSQL()
        self.port = free_port()
        self.folder = folder
        environment = {
            "COACHING_NO_BOOTSTRAP": "1", "TENPADS_DATA": str(folder), "TENPADS_DATABASE_URL": self.postgres.url,
            "TENPADS_REDIS_URL": self.redis.url, "TENPADS_EMBEDDED": "false", "TENPADS_SECRET_KEY": settings.SECRET_KEY,
            "TENPADS_SWEEP_S": str(SWEEP_S), "TENPADS_BATCH": "8", "OPENBLAS_NUM_THREADS": "1",
        }  # fmt: skip
        celery = ("-m", "celery", "--app=coaching.config.celery")
        threads = ("--worker-class=gthread", "--workers=2", "--threads=4", "--no-control-socket")
        self.web = Ours(
            "-m", "gunicorn", "coaching.config.wsgi:application", f"--bind=127.0.0.1:{self.port}", *threads,
            environment=environment, log=folder / "web.log",
        )  # fmt: skip
        self.worker = Ours(
            *celery, "worker", "--pool=prefork", "--concurrency=2", "--queues=fresh,batch", "--loglevel=WARNING",
            environment=environment, log=folder / "worker.log",
        )  # fmt: skip
        self.beat = Ours(
            *celery, "beat", f"--schedule={folder / 'beat'}", "--pidfile=", "--loglevel=WARNING",
            environment=environment, log=folder / "beat.log",
        )  # fmt: skip
        self.codes: list[str] = []
        self._cookies: dict[str, str] = {}
        self.sent: list[Sent] = []

    def start(self) -> None:
        self.redis.start()
        self.postgres.start()
        with databases.pointed_at(self.postgres.url):
            call_command("migrate", verbosity=0, interactive=False)
            set_up.load_demo(clock.now())
            self._sign_in()
        for ours in (self.web, self.worker, self.beat):
            ours.start()
        until(lambda: listens(self.port))
        until(lambda: self.count(BEHIND) == 0, 120)

    def stop(self) -> None:
        for ours in (self.beat, self.worker, self.web):
            ours.kill_group()
        self.redis.stop()
        self.postgres.stop()

    def _sign_in(self) -> None:
        """Sessions as a sign-in makes them, without paying for a password's hash each time."""
        store = import_module(settings.SESSION_ENGINE).SessionStore
        for role in Role.objects.filter(role="athlete").select_related("athlete", "person__account"):
            account: Account = role.person.account
            session = store()
            session[SESSION_KEY], session[BACKEND_SESSION_KEY] = str(account.pk), settings.AUTHENTICATION_BACKENDS[0]
            session[HASH_SESSION_KEY] = account.get_session_auth_hash()
            sign_in.begin(session, "tests")
            session.create()
            self._cookies[role.athlete.code] = session.session_key
        self.codes = sorted(self._cookies)

    def count(self, query: str) -> int:
        return int(self.rows(query)[0][0])

    def rows(self, query: str) -> list[tuple[object, ...]]:
        with psycopg.connect(self.postgres.url.replace("postgres://", "postgresql://"), autocommit=True) as server:
            return server.execute(query).fetchall()

    def in_hand(self) -> set[tuple[object, ...]]:
        return set(self.rows(IN_HAND))

    def check_in(self, code: str, day: date, reserve: int) -> Sent:
        """Send one check-in, once, and note the answer."""
        body = {"local_date": str(day), "reserve": reserve, "dampness": 4, "agent_used": False, "red_flags": []}
        token = "t" * 32
        headers = {
            "Content-Type": "application/json", "X-CSRFToken": token, "Idempotency-Key": uuid4().hex,
            "Cookie": f"sessionid={self._cookies[code]}; csrftoken={token}",
        }  # fmt: skip
        began, status, retry, said = time.monotonic(), 0, None, ""
        link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        try:
            link.request("POST", f"/api/v1/athletes/{code}/check-ins", json.dumps(body), headers)
            answer = link.getresponse()
            said = answer.read().decode()
            status, retry = answer.status, answer.headers["Retry-After"]
        except (OSError, http.client.HTTPException):
            pass  # no answer: not acknowledged, whatever was stored
        finally:
            link.close()
        self.sent.append(Sent(code, day, reserve, status, time.monotonic() - began, retry, said))
        return self.sent[-1]

    def current(self, within_s: float = 60.0) -> float:
        """Wait until every conclusion is current; the seconds that took."""
        return until(lambda: self.count(BEHIND) == 0, within_s, 0.1)

    @contextmanager
    def records(self) -> Iterator[None]:
        with databases.pointed_at(self.postgres.url):
            yield

    def check(self) -> None:
        """What was acknowledged is stored, once; and what is concluded is what these facts give in a clean run."""
        with self.records():
            stored = {(c, d): r for c, d, r in CheckIn.objects.values_list("athlete__code", "local_date", "reserve")}
            assert len(stored) == CheckIn.objects.count()
            possible = self._possible()
            assert any(s.acknowledged for s in self.sent)
            assert {key: stored.get(key) for key in possible if stored.get(key) not in possible[key]} == {}
            self._as_in_a_clean_run()

    def _possible(self) -> dict[tuple[str, date], set[int]]:
        """What may stand for each athlete and day of which something was acknowledged.

        The last acknowledged answer, or one sent after it that got no answer or a refusal by a server in trouble: of
        those nobody knows whether they were stored. Each athlete's are sent one after another.
        """
        found: dict[tuple[str, date], set[int]] = {}
        for sent in self.sent:
            key = (sent.code, sent.day)
            if sent.acknowledged:
                found[key] = {sent.reserve}
            elif key in found:
                found[key].add(sent.reserve)
        return found

    def _as_in_a_clean_run(self) -> None:
        newest = _newest()
        for day in {row.as_of for row in newest}:
            rows = {row.athlete_id: row for row in newest if row.as_of == day}
            clean = conclude.conclude(sorted(rows), day)
            stored = {key: (row.inputs_digest, row.body) for key, row in rows.items()}
            assert {key: (row.inputs_digest, row.body) for key, row in clean.items()} == stored


def _newest() -> list[Conclusion]:
    newest = Conclusion.objects.order_by("athlete_id", "-as_of").distinct("athlete_id")
    found = list(newest)
    assert len(found) == Athlete.objects.count()
    return found


def days_back(today: date, n: int) -> date:
    """Days whose answers may still be sent, in turn."""
    return today - timedelta(days=1 + n % 28)
