"""Tokens of other programs: hashed, scoped, expiring, revocable; and what a request gets that brings a bad one."""

from __future__ import annotations

from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.test import Client

from athletes.records.models import Account, ApiToken
from coaching.usecases import api_tokens
from tests import stored
from tests.api_calls import GOOD, post, send

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _now() -> Any:
    with time_machine.travel(stored.NOW, tick=False) as clock:
        yield clock


@pytest.fixture
def athlete() -> Account:
    return stored.login("athlete", None, stored.athletes(["a1"], stored.squad()))


def token(account: Account, *scopes: str, days: int = 90) -> str:
    return api_tokens.make_token(account.person.code, scopes or api_tokens.SCOPES, days)


def asked(text: str, **more: Any) -> Any:
    return Client(enforce_csrf_checks=True).get("/api/v1/athletes/a1", headers={"authorization": text}, **more)


def test_a_token_reads_and_its_first_use_of_the_day_is_noted(athlete: Account) -> None:
    answer = asked(f"Bearer {token(athlete)}")
    assert (answer.status_code, answer.json()["athlete_id"]) == (200, "a1")
    assert answer["Cache-Control"] == "no-store"
    assert ApiToken.objects.get().last_used_on == stored.TODAY


def test_it_posts_without_a_csrf_token(athlete: Account) -> None:
    client = Client(enforce_csrf_checks=True, headers={"authorization": f"Bearer {token(athlete)}"})
    assert post(client, GOOD).status_code == 201


def test_only_a_hash_is_kept(athlete: Account) -> None:
    text = token(athlete)
    row = ApiToken.objects.get()
    secret = text.split("_", 2)[2]
    assert len(secret) == 43 and len(row.digest) == 64  # 256 bits in base64url; SHA-256 in hex
    assert not any(secret in str(value) for value in vars(row).values())


def test_no_two_tokens_are_alike(athlete: Account) -> None:
    assert len({token(athlete) for _ in range(20)}) == 20


@pytest.mark.parametrize(
    "spoilt",
    [
        lambda t: t[:-1] + ("A" if t[-1] != "A" else "B"),
        lambda t: t.replace("tp_", "tp_0", 1),
        lambda t: "tp_" + "0" * 12 + t[15:],
        lambda t: t[3:],
        lambda t: t + "x",
        lambda t: "",
        lambda t: "é\x00",
    ],
)
def test_a_token_that_is_not_quite_right_is_a_strangers(athlete: Account, spoilt: Any) -> None:
    answer = asked(f"Bearer {spoilt(token(athlete))}")
    assert answer.status_code == 404
    assert answer.content == Client().get("/api/v1/athletes/a1").content


def test_it_ends_on_its_last_day(athlete: Account, _now: Any) -> None:
    text = token(athlete, days=2)
    _now.shift(timedelta(days=2, seconds=-1))
    assert asked(f"Bearer {text}").status_code == 200
    _now.shift(timedelta(seconds=1))
    assert asked(f"Bearer {text}").status_code == 404


@pytest.mark.parametrize("days", [0, -1, 367])
def test_none_is_good_for_longer_than_a_year(athlete: Account, days: int) -> None:
    with pytest.raises(ValueError, match="days"):
        token(athlete, days=days)


def test_a_revoked_one_ends_with_the_next_request(athlete: Account) -> None:
    text = token(athlete)
    assert asked(f"Bearer {text}").status_code == 200
    call_command("revoke_token", text.split("_")[1], stdout=StringIO())
    assert asked(f"Bearer {text}").status_code == 404


def test_one_of_a_closed_account_ends_too(athlete: Account) -> None:
    text = token(athlete)
    Account.objects.update(is_active=False)
    assert asked(f"Bearer {text}").status_code == 404


def test_one_whose_person_lost_the_role_is_a_strangers(athlete: Account) -> None:
    text = token(athlete)
    athlete.person.roles.all().delete()
    assert asked(f"Bearer {text}").status_code == 404


def test_a_demo_token_works_on_this_machine_only(athlete: Account) -> None:
    text = token(athlete)
    Account.objects.update(demo=True)
    assert asked(f"Bearer {text}").status_code == 200
    assert asked(f"Bearer {text}", REMOTE_ADDR="192.0.2.7").status_code == 404
    assert asked(f"Bearer {text}", REMOTE_ADDR="192.0.2.7", HTTP_X_FORWARDED_FOR="127.0.0.1").status_code == 404


def test_a_bad_token_is_not_helped_by_a_session(athlete: Account) -> None:
    client = Client()
    client.force_login(athlete)
    assert client.get("/api/v1/athletes/a1", headers={"authorization": "Bearer tp_no"}).status_code == 404


def test_a_token_opens_no_page(athlete: Account) -> None:
    answer = Client().get("/me/today", headers={"authorization": f"Bearer {token(athlete)}"})
    assert answer.status_code == 404


LOOK = {"local_date": "2027-03-11", "stage": "open"}
NEEDED = [
    ("get", "athletes", None, "read"),
    ("get", "schema", None, "read"),
    ("get", "docs", None, "read"),
    ("post", "athletes/a1/check-ins", GOOD, "checkins"),
    ("post", "athletes/a1/damage", {"site": "R-web", "kind": "cut", "noticed_on": "2027-03-11"}, "write"),
    ("patch", "events/e1", {"bar": 50}, "write"),
    ("post", "athletes/a1/decisions", {"event_id": "e1", "kind": "entry", "answer": "accept"}, "decide"),
]


@pytest.mark.parametrize(("method", "path", "body", "scope"), NEEDED, ids=[f"{m} {p}" for m, p, _, _ in NEEDED])
def test_each_door_asks_for_its_scope(athlete: Account, method: str, path: str, body: Any, scope: str) -> None:
    others = [name for name in api_tokens.SCOPES if name != scope]
    lacking = Client(headers={"authorization": f"Bearer {token(athlete, *others)}"})
    having = Client(headers={"authorization": f"Bearer {token(athlete, scope)}"})
    refused = send(lacking, path, body, method) if body else lacking.get(f"/api/v1/{path}")
    taken = send(having, path, body, method) if body else having.get(f"/api/v1/{path}")
    assert refused.status_code == 403 and scope in str(refused.content)
    assert taken.status_code != 403


def test_the_command_prints_it_once_and_names_what_is_wrong(athlete: Account) -> None:
    out, err = StringIO(), StringIO()
    call_command("make_token", athlete.person.code, "--scope", "read", "--days", "5", stdout=out, stderr=err)
    text = out.getvalue().strip()
    assert asked(f"Bearer {text}").status_code == 200 and text not in err.getvalue()
    assert ApiToken.objects.get().scopes == ["read"]
    for wrong in (["nobody", "--scope", "read"], [athlete.person.code, "--scope", "read", "--days", "400"]):
        with pytest.raises(CommandError):
            call_command("make_token", *wrong)
    with pytest.raises(CommandError):
        call_command("revoke_token", "000000000000")
