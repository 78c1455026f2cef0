"""Tries are counted atomically, before anything is looked up, and what cannot be counted is not let through."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.test import Client, RequestFactory, override_settings

from athletes.records.models import Account, CheckIn, Tried
from coaching.config import network
from coaching.usecases import api_tokens, limits
from tests import counting, databases, stored
from tests.api_calls import GOOD, post

PASSWORD = "a quiet orange lamp post"


def let_through(limit: limits.Limit = limits.SIGN_IN, of: str = "somebody") -> int:
    return sum(wait == 0 for wait in databases.at_once(lambda: limits.allowed(limit, of), counting.AT_ONCE))


@pytest.fixture(params=counting.STORES)
def store(request: Any, tmp_path: Path, django_db_blocker: Any) -> Iterator[str]:
    with django_db_blocker.unblock(), counting.store(request.param, tmp_path):
        yield request.param


@pytest.mark.service
def test_of_64_at_once_never_more_than_ten_are_let_through(store: str) -> None:
    """Exactly ten, five times over, each for another account: whoever first looks and then counts lets more through."""
    assert [let_through(of=f"account {n}") for n in range(5)] == [limits.SIGN_IN.most] * 5


@pytest.mark.django_db
def test_a_window_ends_and_the_next_begins() -> None:
    with override_settings(TENPADS_REDIS_URL=None), time_machine.travel(stored.NOW, tick=False) as clock:
        waits = [limits.allowed(limits.SIGN_IN, "a") for _ in range(12)]
        assert waits == [0] * 10 + [60, 60] and limits.allowed(limits.SIGN_IN, "b") == 0
        clock.shift(59)
        assert limits.allowed(limits.SIGN_IN, "a") == 1
        clock.shift(1)
        assert limits.allowed(limits.SIGN_IN, "a") == 0


@pytest.mark.django_db
def test_what_is_counted_names_nobody() -> None:
    with override_settings(TENPADS_REDIS_URL=None):
        limits.allowed(limits.SIGN_IN, "marigold 192.0.2.0/24")
    (row,) = Tried.objects.all()
    assert len(row.what) == 64 and "marigold" not in str(vars(row))


# --- at the door


@pytest.fixture
def athlete(db: Any) -> Account:
    account = stored.login("athlete", None, stored.athletes(["a1"], stored.squad()))
    account.set_password(PASSWORD)
    account.save()
    return account


def tried(username: str, password: str = "wrong wrong wrong", **where: str) -> Any:
    return Client(**where).post("/login", {"username": username, "password": password})


@pytest.fixture
def hashes(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Each hash that is computed: what a sign-in costs is these."""
    return counting.hashes_counted(monkeypatch)


def test_the_eleventh_try_is_turned_away_before_anything_is_hashed(athlete: Account, hashes: list[str]) -> None:
    assert [tried(athlete.username).status_code for _ in range(10)] == [422] * 10
    assert len(hashes) == 10
    refused = tried(athlete.username, PASSWORD)
    assert refused.status_code == 429 and int(refused["Retry-After"]) > 0 and len(hashes) == 10
    assert "no-store" in refused["Cache-Control"]
    assert tried("somebody else").status_code == 422


def test_a_name_that_does_not_exist_is_counted_alike(athlete: Account) -> None:
    known, unknown = ([tried(name).status_code for _ in range(11)] for name in (athlete.username, "nobody at all"))
    assert known == unknown


def test_capitals_and_spaces_make_no_other_account(athlete: Account) -> None:
    for n in range(10):
        tried([athlete.username, athlete.username.upper(), f" {athlete.username} "][n % 3])
    assert tried(athlete.username, PASSWORD).status_code == 429


def test_another_network_has_tries_of_its_own_and_neighbours_have_not(athlete: Account) -> None:
    for n in range(10):
        tried(athlete.username, REMOTE_ADDR=f"192.0.2.{n}")
    assert tried(athlete.username, PASSWORD, REMOTE_ADDR="192.0.2.99").status_code == 429
    assert tried(athlete.username, PASSWORD, REMOTE_ADDR="198.51.100.1").status_code == 302


def test_one_account_from_many_networks_is_closed_in_the_end(athlete: Account) -> None:
    networks = [f"10.{n}.0.1" for n in range(limits.SIGN_IN_ACCOUNT.most + 1)]
    found = [tried(athlete.username, REMOTE_ADDR=network).status_code for network in networks]
    assert found == [422] * limits.SIGN_IN_ACCOUNT.most + [429]


def test_what_one_network_is_refused_uses_up_nothing_elsewhere(athlete: Account) -> None:
    for _ in range(limits.SIGN_IN_ACCOUNT.most + 5):
        refused = tried(athlete.username, REMOTE_ADDR="192.0.2.1")
    assert refused.status_code == 429
    assert tried(athlete.username, PASSWORD, REMOTE_ADDR="198.51.100.1").status_code == 302


def test_one_network_over_many_accounts_is_closed_in_the_end(athlete: Account) -> None:
    found = [tried(f"name{n}", REMOTE_ADDR="192.0.2.1").status_code for n in range(limits.SIGN_IN_NETWORK.most + 1)]
    assert found == [422] * limits.SIGN_IN_NETWORK.most + [429]


CLOSED = [
    ("login", lambda c: c.post("/login", {"username": "u", "password": "p"})),
    ("second step", lambda c: c.post("/login/code", {"code": "1"})),
    ("passkey", lambda c: c.post("/login/passkey", {"credential": "{}"})),
    ("join", lambda c: c.post("/join", {})),
    ("new password", lambda c: c.post("/new-password", {})),
    ("once more", lambda c: c.post("/account/again", {"password": "p"})),
    ("change of password", lambda c: c.post("/account/password", {})),
    ("invite and reset link", lambda c: c.post("/people", {"act": "invite"})),
    ("token", lambda c: c.post("/account/tokens", {"action": "phone", "label": "x"})),
]


@pytest.mark.parametrize(("what", "ask"), CLOSED, ids=[what for what, _ in CLOSED])
def test_while_counts_are_away_it_is_closed(athlete: Account, what: str, ask: Any, hashes: list[str]) -> None:
    client = Client()
    client.force_login(athlete)
    with override_settings(TENPADS_REDIS_URL=counting.NOWHERE):
        answer = ask(client)
    assert answer.status_code == 503 and "Retry-After" in answer and not hashes


def test_export_is_closed_too(athlete: Account, rf: RequestFactory) -> None:
    with override_settings(TENPADS_REDIS_URL=counting.NOWHERE), pytest.raises(limits.StoreAway):
        limits.allowed(limits.EXPORT, athlete.pk)


def test_check_ins_signing_out_and_reading_stay_open(athlete: Account) -> None:
    with time_machine.travel(stored.NOW, tick=False), override_settings(TENPADS_REDIS_URL=counting.NOWHERE):
        client = Client()
        client.force_login(athlete)
        phone = api_tokens.make_token(athlete.person.code, ["checkins"], 9)
        assert post(client, GOOD).status_code == 201
        assert post(Client(headers={"authorization": f"Bearer {phone}"}), GOOD).status_code == 201
        page = {"day": "2027-03-11", "reserve": "6", "dampness": "4", "agent_used": "no", "infected": "no"}
        assert client.post("/me/check-in", page).status_code == 302
        assert client.get("/me/today").status_code == 200 and CheckIn.objects.count() == 1
        assert client.post("/login", {"action": "sign-out"}).status_code == 302


# --- where from


@pytest.mark.parametrize(
    ("meta", "proxies", "found"),
    [
        ({"REMOTE_ADDR": "192.0.2.77"}, 0, "192.0.2.0/24"),
        ({"REMOTE_ADDR": "2001:db8:1:2ff::7"}, 0, "2001:db8:1:200::/56"),
        ({"REMOTE_ADDR": "::ffff:192.0.2.77"}, 0, "192.0.2.0/24"),
        ({"REMOTE_ADDR": "192.0.2.77", "HTTP_X_FORWARDED_FOR": "198.51.100.1"}, 0, "192.0.2.0/24"),
        ({"REMOTE_ADDR": "10.0.0.1", "HTTP_X_FORWARDED_FOR": "198.51.100.1"}, 1, "198.51.100.0/24"),
        ({"REMOTE_ADDR": "10.0.0.1", "HTTP_X_FORWARDED_FOR": "203.0.113.9, 198.51.100.1"}, 1, "198.51.100.0/24"),
        ({"REMOTE_ADDR": "10.0.0.1", "HTTP_X_FORWARDED_FOR": "203.0.113.9, 198.51.100.1, 10.0.0.2"}, 2,
         "198.51.100.0/24"),
        ({"REMOTE_ADDR": "10.0.0.1"}, 1, "unknown"),
        ({"REMOTE_ADDR": "10.0.0.1", "HTTP_X_FORWARDED_FOR": "198.51.100.1"}, 2, "unknown"),
        ({"REMOTE_ADDR": "x"}, 0, "unknown"),
    ],
)  # fmt: skip
def test_the_network_is_what_our_own_proxy_saw(meta: dict[str, str], proxies: int, found: str) -> None:
    """What a client writes into the header itself stands further left and is not believed."""
    with override_settings(TENPADS_PROXIES=proxies):
        assert network.network(RequestFactory().get("/", **meta)) == found
