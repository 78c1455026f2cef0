"""How often each page and each door of the interface asks the database: as the golden file says, for 24 athletes and
for 240 alike. Session, account and roles are counted; the marks of a transaction (BEGIN, SAVEPOINT) are not, because a
test runs inside one of its own.

A new page gets its line by hand, after a look at what it asks.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern, URLResolver, get_resolver

from athletes.records.models import Account, CheckIn, Damage, Look, Session
from tests import shown_cast as cast
from tests import stored
from tests.api_calls import GOOD, post

GOLDEN = json.loads((Path(__file__).parents[2] / "fixtures/golden/query_counts.json").read_text())["queries"]
TRANSACTION = ("BEGIN", "COMMIT", "ROLLBACK", "SAVEPOINT", "RELEASE")
SENT = {"day": "2027-03-11", "reserve": "6", "dampness": "4", "agent_used": "no", "infected": "no"}
SIGN_IN = {"username": "coach", "password": "chalk before rock"}
ASKED: dict[str, tuple[str, Callable[[Client], Any]]] = {
    "GET /": ("coach", lambda c: c.get("/")),
    "GET /morning": ("coach", lambda c: c.get("/morning")),
    "GET /athletes/<code>": ("coach", lambda c: c.get("/athletes/a000")),
    "GET /me/check-in": ("athlete", lambda c: c.get("/me/check-in")),
    "GET /me/check-in, of a ward": ("guardian", lambda c: c.get("/me/check-in")),
    "POST /me/check-in": ("athlete", lambda c: c.post("/me/check-in", SENT)),
    "GET /me/today": ("athlete", lambda c: c.get("/me/today")),
    "GET /login": ("nobody", lambda c: c.get("/login")),
    "POST /login": ("nobody", lambda c: c.post("/login", SIGN_IN)),
    "GET /healthz": ("nobody", lambda c: c.get("/healthz")),
    "GET /readyz": ("nobody", lambda c: c.get("/readyz")),
    "GET /api/v1/schema": ("coach", lambda c: c.get("/api/v1/schema")),
    "GET /api/v1/athletes": ("coach", lambda c: c.get("/api/v1/athletes")),
    "GET /api/v1/athletes/<athlete_id>/entries": ("coach", lambda c: c.get("/api/v1/athletes/a000/entries")),
    "POST /api/v1/athletes/<athlete_id>/check-ins": ("athlete", lambda c: post(c, GOOD, "a000")),
}


def populate(size: int) -> dict[str, Account | None]:
    """A squad of that size that shares everything, each with a conclusion, yesterday's answers and open damage."""
    squad = stored.squad()
    rows = stored.athletes([f"a{n:03}" for n in range(size)], squad, stored.MINOR)
    stored.share(rows)
    stored.conclude(rows, stored.event())
    CheckIn.objects.bulk_create([CheckIn(athlete=r, local_date=stored.YESTERDAY, reserve=5) for r in rows])
    Session.objects.bulk_create([Session(athlete=r, local_date=cast.AS_OF, planned=True) for r in rows])
    told = {"kind": "split", "site": "L-ring-tip", "noticed_on": stored.YESTERDAY}
    damage = Damage.objects.bulk_create([Damage(athlete=r, code=f"d{r.code}", **told) for r in rows])
    Look.objects.bulk_create([Look(damage=d, local_date=stored.YESTERDAY, stage="open") for d in damage])
    people = [stored.login("athlete", squad, [row]) for row in rows]
    Account.objects.update(demo=True)  # the sign-in page lists every one of them
    coach, guardian = stored.login("head-coach", squad), stored.login("guardian", None, rows[:1])
    coach.username = SIGN_IN["username"]
    coach.set_password(SIGN_IN["password"])
    coach.save()
    return {"coach": coach, "athlete": people[0], "guardian": guardian, "nobody": None}


def count(who: Account | None, ask: Callable[[Client], Any]) -> tuple[int, int]:
    """(status, number of queries) of one request, whose traces are then taken back."""
    client = Client()
    with transaction.atomic():
        if who is not None:
            client.force_login(who)
        with CaptureQueriesContext(connection) as asked:
            status = ask(client).status_code
        transaction.set_rollback(True)
    return status, sum(not query["sql"].startswith(TRANSACTION) for query in asked)


@pytest.mark.django_db
@pytest.mark.parametrize("size", [24, 240])
def test_the_queries_are_those_of_the_golden_file_whatever_the_size_of_the_squad(size: int) -> None:
    with time_machine.travel(stored.NOW, tick=False):
        people = populate(size)
        found = {name: count(people[who], ask) for name, (who, ask) in ASKED.items()}
    assert {name: status for name, (status, _) in found.items() if status not in (200, 201, 302)} == {}
    assert {name: queries for name, (_, queries) in found.items()} == GOLDEN


@pytest.mark.django_db
def test_the_pages_that_are_counted_show_the_whole_squad() -> None:
    """Else the numbers would be those of an empty page."""
    with time_machine.travel(stored.NOW, tick=False):
        client = Client()
        client.force_login(populate(24)["coach"])
        assert client.get("/morning").content.decode().count('href="/athletes/a0') >= 24
        assert len(client.get("/api/v1/athletes").json()["results"]) == 24
        (entry,) = client.get("/api/v1/athletes/a000/entries").json()["entries"]
    assert len(entry["reasons"]) == 1 and len(entry["deadlines"]) == 4


def routes(resolver: URLResolver | None = None, prefix: str = "/") -> list[str]:
    """Every address there is, its parameters by their bare names."""
    found: list[str] = []
    for pattern in (resolver or get_resolver()).url_patterns:
        route = prefix + str(pattern.pattern).replace("<str:", "<")
        found += [route] if isinstance(pattern, URLPattern) else routes(pattern, route)
    return found


def test_every_address_is_counted() -> None:
    counted = {name.split(" ")[1].rstrip(",") for name in ASKED}
    assert sorted(set(routes()) ^ counted) == []
