"""Check-ins through the interface by eight callers at once, against eight that insert the same row and no more.

Both on PostgreSQL, each caller in a thread with a connection of its own. Those of the interface are shared between two
processes, as the server's threads are, and for comparison all in this one. Through the interface means all of it but
the wire: WSGI, middleware, the token, the door, the Idempotency-Key, the marks of what is to be computed
and the commit. The floor is psycopg with one prepared INSERT and its commit. Beside them go as many requests to an
empty view, of Django and of DRF: one interpreter runs one thread at a time, so what they reach of the floor bounds the
rest.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from typing import Any
from uuid import uuid4

import psycopg
from django.contrib.auth import get_user_model
from django.core.wsgi import get_wsgi_application
from django.db import connection

from athletes.records import access
from coaching.usecases import accounts, api_tokens, clock, set_up
from coaching.usecases.bench import empty
from coaching.usecases.bench.processes import Processes
from coaching.usecases.bench.server import own_database
from coaching.usecases.bench.threads import Callers
from coaching.usecases.bench.timing import Turns, Work, interleaved, ratio, summary

SKIPPED = {"skipped": "no PostgreSQL was named with --postgres"}
CALLERS = 8
PROCESSES = 2
"""Of the server as `docker-compose.yml` starts it."""
DAYS = 12
"""Mornings that each athlete tells of in one round."""
BARE = """INSERT INTO records_checkin
    (athlete_id, local_date, made_at, reserve, dampness, agent_used, marks, red_flags, note)
    VALUES (%s, %s, now(), 6, 4, false, '[]', '[]', '')"""
Told = tuple[str, int, str]
"""Code and key of an athlete, and the token of their login."""


def checkins(postgres: str | None, turns: Turns) -> dict[str, Any]:
    """Every athlete of the demo tells of some mornings, on a database made for it there and dropped afterwards."""
    if postgres is None:
        return SKIPPED
    with own_database(postgres) as url:
        now = clock.now()
        set_up.load_demo(now)
        return _measured(url, clock.local_day(now, "Europe/Vienna"), turns)


def _measured(url: str, today: date, turns: Turns) -> dict[str, Any]:
    told = _told(today)
    shares = [told[n::CALLERS] for n in range(CALLERS)]
    days = [today - timedelta(days=n) for n in range(DAYS)]
    application, empties = get_wsgi_application(), empty.applications()
    posts = [_interface(application, share, days) for share in shares]
    server = Processes(posts, PROCESSES)
    callers = Callers(CALLERS)
    lines = [psycopg.connect(url, autocommit=True, prepare_threshold=0) for _ in shares]
    bare = [_bare(line, share, days) for line, share in zip(lines, shares, strict=True)]
    rows = len(told) * DAYS
    works = {
        "interface": Work(server.all_do, rows, _forget, apart=True),
        "in_one_process": Work(lambda: callers.all_do(posts), rows, _forget),
        "bare_insert": Work(lambda: callers.all_do(bare), rows, _forget),
        **{name: Work(partial(callers.all_do, _nothing(asked, shares, days)), rows) for name, asked in empties.items()},
    }
    try:
        for work in works.values():  # once untimed: connections, caches and plans are there
            _forget()
            work.run()
        found = summary(works, interleaved(works, turns))
    finally:
        server.go_home()
        callers.go_home()
        for line in lines:
            line.close()
    return {
        "times": found,
        "callers": CALLERS,
        "interface_over_bare_insert": ratio("interface", "bare_insert", found),
        "share_of_the_floor": ratio("bare_insert", "interface", found),
        "share_in_one_process": ratio("bare_insert", "in_one_process", found),
        **{f"share_of_{name}": ratio("bare_insert", name, found) for name in empties},
    }


def _told(today: date) -> list[Told]:
    """Every athlete with a login of their own, with a token for it."""
    codes = {ref.id: ref.code for ref in access.refs_visible(access.OPERATOR(today))}
    found = []
    for login in accounts.demo_logins():
        account = get_user_model().objects.select_related("person").get(username=login.username)
        own = access.viewer_for(account, today).own_athlete_id
        if own in codes:
            found.append((codes[own], own, api_tokens.make_token(account.person.code, ["checkins"], 1)))
    return found


def _interface(application: Any, told: list[Told], days: list[date]) -> Callable[[], None]:
    """Each of these athletes tells of each morning, as a server would hand it to the program."""

    def run() -> None:
        for code, _, token in told:
            for day in days:
                answers = {"local_date": day.isoformat(), "reserve": 6, "dampness": 4, "agent_used": False}
                _post(application, f"/api/v1/athletes/{code}/check-ins", json.dumps(answers).encode(), token)

    return run


def _nothing(application: Any, shares: list[list[Told]], days: list[date]) -> list[Callable[[], None]]:
    """As many requests that nothing is done for."""

    def run(share: list[Told]) -> None:
        for _ in range(len(share) * len(days)):
            _post(application, "/healthz", b"{}")

    return [partial(run, share) for share in shares]


def _post(application: Any, path: str, body: bytes, token: str = "") -> None:
    named = {"HTTP_AUTHORIZATION": f"Bearer {token}"} if token else {}
    seen: list[str] = []
    environ = {
        "REQUEST_METHOD": "POST", "PATH_INFO": path, "SCRIPT_NAME": "", "QUERY_STRING": "",
        "SERVER_NAME": "127.0.0.1", "SERVER_PORT": "80", "SERVER_PROTOCOL": "HTTP/1.1", "REMOTE_ADDR": "127.0.0.1",
        "HTTP_HOST": "127.0.0.1", "CONTENT_TYPE": "application/json", "CONTENT_LENGTH": str(len(body)),
        "HTTP_IDEMPOTENCY_KEY": str(uuid4()), **named,
        "wsgi.url_scheme": "http", "wsgi.input": io.BytesIO(body), "wsgi.errors": io.StringIO(),
        "wsgi.version": (1, 0), "wsgi.multithread": True, "wsgi.multiprocess": False, "wsgi.run_once": False,
    }  # fmt: skip
    answer = application(environ, lambda status, headers, *_: seen.append(status))
    said = b"".join(answer)
    answer.close()
    if not seen[0].startswith("20"):
        raise RuntimeError(f"a request was answered with {seen[0]}: {said[:200]!r}")


def _bare(line: Any, told: list[Told], days: list[date]) -> Callable[[], None]:
    """The same rows with nothing around them; each is its own transaction, as each check-in is."""

    def run() -> None:
        for _, athlete_id, _ in told:
            for day in days:
                line.execute(BARE, (athlete_id, day))

    return run


def _forget() -> None:
    """The mornings of a round and what came with them, so that each round stores first answers, never corrections."""
    with connection.cursor() as cursor:
        cursor.execute(
            "DELETE FROM records_checkin WHERE local_date > (SELECT max(local_date) FROM records_checkin) - %s", [DAYS]
        )
        cursor.execute("TRUNCATE records_sentbefore")
        cursor.execute("VACUUM records_checkin")
        cursor.execute("VACUUM ledger_staleness")
