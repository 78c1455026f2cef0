"""Sessions: kept under a hash, made anew at sign-in, listed, ended, and over in time."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Account, SignedIn
from coaching.usecases import accounts, sign_in
from tests import stored

pytestmark = pytest.mark.django_db
PASSWORD = "a quiet orange lamp post"
PHONE = "Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 Mobile Safari/537.36"


@pytest.fixture(autouse=True)
def _now() -> Any:
    with time_machine.travel(stored.NOW, tick=False) as clock:
        yield clock


@pytest.fixture
def athlete() -> Account:
    account = stored.login("athlete", None, stored.athletes(["a1"], stored.squad()))
    account.set_password(PASSWORD)
    account.save()
    return account


def signed_in(account: Account, **options: Any) -> Client:
    client = Client(**options)
    assert client.post("/login", {"username": account.username, "password": PASSWORD}).status_code == 302
    return client


def key(client: Client) -> str:
    return client.cookies["sessionid"].value


def test_the_table_holds_nothing_that_opens_a_session(athlete: Account) -> None:
    client = signed_in(athlete)
    row = SignedIn.objects.get(account=athlete)
    assert key(client) not in str(vars(row)) and len(row.session_key) == 64
    thief = Client()
    thief.cookies["sessionid"] = row.session_key
    assert thief.get("/account").status_code == 404 and client.get("/account").status_code == 200


def test_the_key_is_made_anew_at_sign_in_and_the_old_one_opens_nothing(athlete: Account) -> None:
    client = Client()
    session = client.session
    session["planted"] = True
    session.save()
    client.cookies["sessionid"] = session.session_key
    client.post("/login", {"username": athlete.username, "password": PASSWORD})
    fixed = Client()
    fixed.cookies["sessionid"] = session.session_key
    assert key(client) != session.session_key
    assert fixed.get("/account").status_code == 404 and client.get("/account").status_code == 200


def test_its_owner_sees_each_and_ends_one(athlete: Account) -> None:
    here, there = signed_in(athlete), signed_in(athlete, headers={"user-agent": PHONE})
    page = here.get("/account")
    listed = {str(device): session for session, device in page.context["sessions"]}
    assert set(listed) == {"computer", "phone"} and listed["computer"].this and not listed["phone"].this
    assert PHONE.encode() not in page.content
    assert here.post("/account", {"session": listed["phone"].id}).status_code == 302
    assert there.get("/account").status_code == 404 and here.get("/account").status_code == 200


def test_all_others_end_at_once(athlete: Account) -> None:
    clients = [signed_in(athlete) for _ in range(3)]
    clients[0].post("/account", {"action": "end-others"})
    assert [c.get("/account").status_code for c in clients] == [200, 404, 404]


def test_nobody_ends_anothers(athlete: Account) -> None:
    mine = signed_in(athlete)
    other = Client()
    other.force_login(stored.login("athlete", None, stored.athletes(["a2"], stored.squad("b"))))
    row = SignedIn.objects.get(account=athlete)
    foreign, nobody = (other.post("/account", {"session": one}) for one in (row.session_key, "0" * 64))
    assert (foreign.status_code, foreign.content) == (404, nobody.content)
    assert mine.get("/account").status_code == 200


def test_closing_the_login_ends_them_with_the_next_request(athlete: Account) -> None:
    client = signed_in(athlete)
    accounts.close(athlete.username)
    assert client.get("/account").status_code == 404 and not SignedIn.objects.filter(account=athlete).exists()
    assert Client().post("/login", {"username": athlete.username, "password": PASSWORD}).status_code == 422


def test_so_does_a_disabled_account_whose_sessions_nobody_touched(athlete: Account) -> None:
    client = signed_in(athlete)
    Account.objects.update(is_active=False)
    assert client.get("/account").status_code == 404


def test_signing_out_leaves_nothing(athlete: Account) -> None:
    client = signed_in(athlete)
    client.post("/login", {"action": "sign-out"})
    assert not SignedIn.objects.filter(account=athlete).exists()


STAYS = [("athlete", sign_in.STAY), ("head-coach", sign_in.STAFF_STAY), ("manager", sign_in.STAFF_STAY)]


@pytest.mark.parametrize(("role", "stay"), STAYS, ids=[role for role, _ in STAYS])
def test_it_is_over_when_idle_for_too_long(_now: Any, role: str, stay: Any) -> None:
    squad = stored.squad()
    over = stored.athletes(["a1"], squad) if role == "athlete" else ()
    client = Client()
    client.force_login(stored.login(role, squad, over))
    _now.shift(stay.idle - timedelta(seconds=1))
    assert client.get("/account").status_code == 200
    _now.shift(stay.idle)
    assert client.get("/account").status_code == 404
    assert not SignedIn.objects.exists()


@pytest.mark.parametrize(("role", "stay"), STAYS[:2], ids=["athlete", "head-coach"])
def test_it_is_over_in_the_end_however_much_it_is_used(_now: Any, role: str, stay: Any) -> None:
    squad = stored.squad()
    over = stored.athletes(["a1"], squad) if role == "athlete" else ()
    client = Client()
    client.force_login(stored.login(role, squad, over))
    spent, step = timedelta(), stay.idle * 0.9
    while spent + step < stay.most:
        _now.shift(step)
        spent += step
        assert client.get("/account").status_code == 200
    _now.shift(step)
    assert client.get("/account").status_code == 404


def test_whoever_sees_others_stays_for_less_long() -> None:
    assert sign_in.STAFF_STAY.idle < sign_in.STAY.idle and sign_in.STAFF_STAY.most < sign_in.STAY.most
