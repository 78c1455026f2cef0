"""The next request after a word is taken back finds what it would have found had the word never been given.

Every address is asked three times by the same session or token: before anything is shared, while everything is, and
after the athlete's one tap. Pages, doors for programs, PDF, CSV and XLSX are compared byte for byte, so nothing that
a process, an answer kept under a key or a browser's copy still holds may come through. There is no second in which a
permission is still good (OWASP ASVS 5.0, 8.3.2, from memory).
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records import access_words, choices, tokens
from athletes.records.models import Consent
from coaching.config.celery import app
from tests import stored
from tests.api_cast import BODIES
from tests.bars import world as worlds
from tests.bars.test_matrix import ROUTES, TOKEN, filled
from tests.bars.world import Club

pytestmark = pytest.mark.django_db
NOT_A_COACHS = ("check-in", "delivery of a check-in", "session done", "care done", "damage")
"""Told by the athlete or medical people alone."""
APART = ("Set-Cookie", "Date")
FILES = ("sheet.pdf", "sheet.csv", "sheet.xlsx")
Answer = tuple[int, bytes, dict[str, str]]


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


@dataclass(frozen=True)
class Two:
    """The athlete `h-a1`, of whom nothing is shared yet, and somebody in a role who asks."""

    club: Club
    own: Client
    role: str
    asking: Client
    headers: dict[str, str]

    def get(self, path: str, **headers: str) -> Answer:
        answer = self.asking.get(path, headers={**self.headers, **headers})
        kept = {name: value for name, value in answer.headers.items() if name not in APART}
        return answer.status_code, TOKEN.sub(b"", answer.content), kept

    def post(self, path: str, body: Any, key: str) -> Any:
        headers = {**self.headers, "idempotency-key": key}
        return self.asking.post(path, json.dumps(body), content_type="application/json", headers=headers)

    def share(self) -> None:
        stored.share([self.club.athlete], role=self.role)

    def stop(self) -> None:
        """The tap on "Stop all" beside the role."""
        assert self.own.post("/me/who-sees", {"do": f"stop:{self.role}"}).status_code == 302


def two(role: str, program: bool = False) -> Two:
    club = worlds.club("h")
    stored.withdraw(athlete__in=[club.athlete, club.mate])
    own, asking, headers = Client(), Client(raise_request_exception=False), {}
    own.force_login(stored.login("athlete", club.squad, [club.athlete]))
    account = stored.login(role, club.squad)
    if program:
        text = tokens.make(account.person.code, list(choices.SCOPES), 30, stored.NOW)
        headers["authorization"] = f"Bearer {text}"
    else:
        asking.force_login(account)
    return Two(club, own, role, asking, headers)


def walked(people: Two, routes: list[str]) -> tuple[list[str], list[str]]:
    """Addresses that showed more while it was shared, and those whose next answer still did."""
    showed, wrong = [], []
    for route in routes:
        path = filled(route, people.club.ids)
        never = people.get(path)
        people.share()
        if people.get(path) != never:
            showed.append(route)
        people.stop()
        if people.get(path) != never:
            wrong.append(route)
    return showed, wrong


@pytest.mark.parametrize("role", stored.PURPOSES)
def test_the_next_request_on_every_address_is_as_if_nothing_had_been_shared(role: str) -> None:
    routes = [route for route in ROUTES if not route.startswith("me/")]
    showed, wrong = walked(two(role), routes)
    print(f"{role}: {len(showed)} of {len(routes)} addresses showed something, {len(wrong)} still did")
    assert wrong == []
    assert {"morning", "athletes/<str:code>", "api/v1/athletes", "events/<str:code>"} <= set(showed)
    assert {f"events/<str:code>/{file}" for file in FILES} <= set(showed)


def test_a_token_knows_at_once_too() -> None:
    routes = [route for route in ROUTES if route.startswith("api/")]
    showed, wrong = walked(two("head-coach", program=True), routes)
    assert wrong == [] and len(showed) >= 12


def test_a_copy_that_the_caller_still_has_is_not_confirmed() -> None:
    """304 would say that nothing has changed: that the damage is still there to be read (RFC 9110, 13.1.2)."""
    people = two("head-coach")
    path = "/api/v1/athletes/h-a1"
    people.share()
    tag = people.get(path)[2]["ETag"]
    headers = {"if-none-match": tag}
    assert people.get(path, **headers)[0] == 304
    people.stop()
    assert people.get(path, **headers)[0] == 404


@pytest.mark.parametrize("what", BODIES)
def test_an_answer_kept_under_a_key_is_not_given_again(what: str) -> None:
    people = two("medical" if what == "sign-off" else "head-coach")
    path, body = BODIES[what]
    path = f"/api/v1/athletes/h-a1/{path.replace('d1', 'h-d')}"
    body = {name: "h-cup" if name == "event_id" else value for name, value in body.items()}
    people.share()
    first = people.post(path, body, "k1")
    people.stop()
    again = people.post(path, body, "k1")
    assert again.status_code in (403, 404) and b"note of h" not in again.content
    assert what in NOT_A_COACHS or first.status_code == 201, first.content


def test_no_task_waits_in_a_queue_with_somebodys_data_for_somebody_else() -> None:
    """Files are made in the request that asks for them; what is queued computes, sweeps and drops."""
    from coaching.jobs import tasks

    ours = {name.removeprefix(f"{tasks.__name__}.") for name in app.tasks if name.startswith("coaching.")}
    dropping = {"forget_keys", "keep_terms", "erase_due"}
    telling = {"remind"}  # that there is something to look at, never what
    assert ours == {"recompute_athletes", "sweep", "fit_squads", "weigh_assumptions"} | dropping | telling


@pytest.mark.parametrize("route", ["api/v1/athletes/<str:athlete_id>", "morning", "events/<str:code>/sheet.csv"])
def test_planted_a_permission_that_is_remembered_is_found(monkeypatch: pytest.MonkeyPatch, route: str) -> None:
    """Words as they stood when somebody last looked: the bug that this bar is about."""
    kept: dict[int | None, list[int]] = {}
    live = access_words.live

    def remembered(today: Any, athlete_ids: Any, person_id: int | None) -> Any:
        found = live(today, athlete_ids, person_id)
        words = kept.setdefault(person_id, [])
        words += [key for key in found.values_list("id", flat=True) if key not in words]
        again = Consent.objects.filter(id__in=words, athlete_id__in=athlete_ids)
        return again.values_list("athlete_id", "grantee_role", "data_class", "purpose", "grantor_role", "given_on")

    monkeypatch.setattr(access_words, "live", remembered)
    assert walked(two("head-coach"), [route])[1] == [route]
