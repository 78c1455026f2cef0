"""Time of a check-in through the interface, against a bare insert and commit on the same PostgreSQL.

One caller after the other within this process: what both cost, not how many callers the machine can serve.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any
from uuid import uuid4

import psycopg
from django.contrib.auth import get_user_model
from django.core.management import call_command
from django.db import connection, connections
from django.test import Client
from environs import Env

from athletes.records import access
from coaching.usecases import accounts, clock, set_up
from coaching.usecases.bench.timing import Work, interleaved, ratio, summary

SKIPPED = {"skipped": "no PostgreSQL was named with --postgres"}
BARE = "INSERT INTO records_checkin (athlete_id, local_date, reserve, dampness, marks, red_flags, note) VALUES (%s, %s, 6, 4, '[]', '[]', '')"  # noqa: E501


def checkins(postgres: str | None, repeats: int) -> dict[str, Any]:
    """Every athlete of the demo checks in, on a database made for it on that server and dropped afterwards."""
    if postgres is None:
        return SKIPPED
    with _own_database(postgres):
        set_up.migrate()
        now = clock.now()
        set_up.load_demo(now)
        return _measured(clock.local_day(now, "Europe/Vienna"), max(repeats, 5))


def _measured(today: date, repeats: int) -> dict[str, Any]:
    keys = {ref.code: ref.id for ref in access.refs_visible(access.OPERATOR(today))}
    callers = _callers(today, keys)
    works = {
        "interface": Work(lambda: _through_the_door(callers, today), len(callers), _forget_today),
        "bare_insert": Work(lambda: _bare([keys[code] for code in callers], today), len(callers), _forget_today),
    }
    found = summary(works, interleaved(works, repeats))
    return {"times": found, "interface_over_bare_insert": ratio("interface", "bare_insert", found)}


def _callers(today: date, keys: dict[str, int]) -> dict[str, Client]:
    """A signed-in client for every athlete with a login of their own, by code."""
    owner = {key: code for code, key in keys.items()}
    found = {}
    for login in accounts.demo_logins():
        account = get_user_model().objects.get(username=login.username)
        own = access.viewer_for(account, today).own_athlete_id
        if own in owner:
            found[owner[own]] = Client(HTTP_HOST="127.0.0.1", REMOTE_ADDR="127.0.0.1")
            found[owner[own]].force_login(account)
    return found


def _through_the_door(callers: dict[str, Client], today: date) -> None:
    answers = {"local_date": today.isoformat(), "reserve": 6, "dampness": 4, "agent_used": False, "red_flags": []}
    for code, client in callers.items():
        key = {"idempotency-key": str(uuid4())}
        path, sent = f"/api/v1/athletes/{code}/check-ins", json.dumps(answers)
        answer = client.post(path, sent, content_type="application/json", headers=key)
        if answer.status_code != 201:
            raise RuntimeError(f"a check-in was answered with {answer.status_code}: {answer.content[:200]!r}")


def _bare(athlete_ids: list[int], today: date) -> None:
    with connection.cursor() as cursor:  # autocommit: each row is its own transaction, as each check-in is
        raw = cursor.cursor
        for athlete_id in athlete_ids:
            raw.execute(BARE, (athlete_id, today))


def _forget_today() -> None:
    """Everything of today, so that each round stores first answers and never corrections."""
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM records_checkin WHERE local_date = (SELECT max(local_date) FROM records_checkin)")


@contextmanager
def _own_database(server: str) -> Iterator[None]:
    """The default alias on a new database of that server, dropped afterwards."""
    name = f"tenpads_bench_{uuid4().hex}"
    kept, kept_settings = connections["default"], connections.settings["default"]
    parsed = dict(Env().dj_db_url("TENPADS_BENCH_UNSET", server))
    with psycopg.connect(server, autocommit=True) as admin:
        admin.execute(f"CREATE DATABASE {name}")
        connections.settings["default"] = {**kept_settings, "OPTIONS": {}, **parsed, "NAME": name}
        try:
            connections["default"] = connections.create_connection("default")
            call_command("migrate", verbosity=0, interactive=False)
            yield
        finally:
            connections["default"].close()
            connections.settings["default"], connections["default"] = kept_settings, kept
            admin.execute(f"DROP DATABASE {name} WITH (FORCE)")
