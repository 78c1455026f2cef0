"""Codes for another device: once, for ten minutes, for the right account, and never past a second factor.

NIST SP 800-63B-4, 3.1.3 (out of band secrets: short-lived, good once, tries limited), from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.test import Client

from athletes.records.models import Account, OneTimeLink
from coaching.usecases import invitations, limits, sign_in_codes
from tests import databases, stored

pytestmark = pytest.mark.django_db
PASSWORD = "a quiet orange lamp post"
CODE = re.compile(r'class="letters one-time">([A-Z0-9]{4} [A-Z0-9]{4})<')


@pytest.fixture(autouse=True)
def clock() -> Iterator[Any]:
    with time_machine.travel(stored.NOW, tick=False) as travelling:
        yield travelling


def athlete(password: str = "") -> tuple[Client, Account]:
    squad = stored.squad()
    account = stored.login("athlete", squad, stored.athletes(["a1"], squad))
    account.set_password(password) if password else account.set_unusable_password()
    account.save()
    client = Client()
    client.force_login(account)
    return client, account


def made(client: Client) -> str:
    answer = client.post("/account/code")
    assert answer.status_code == 200
    return CODE.search(answer.content.decode())[1]  # type: ignore[index]


def enter(code: str, client: Client | None = None) -> tuple[Client, Any]:
    client = client or Client()
    return client, client.post("/login/once", {"code": code})


def is_in(client: Client) -> bool:
    return bool(client.get("/account").status_code == 200)


@pytest.mark.parametrize("typed", ["{0}", "{1}", "  {2}  ", "{3}"])
def test_a_code_lets_in_once_however_it_is_typed(typed: str) -> None:
    own, account = athlete()
    code = made(own)
    bare = code.replace(" ", "")
    phone, answer = enter(typed.format(code, bare, code.lower(), f"{bare[:2]}-{bare[2:]}"))
    assert answer.status_code == 302 and is_in(phone)
    assert phone.get("/account").context["user"] == account
    again, answer = enter(code)
    assert answer.status_code == 422 and not is_in(again)


@pytest.mark.parametrize("how", ["too late", "a newer one", "new password", "closed", "another", "empty", "long"])
def test_what_stands_no_more_opens_nothing_and_says_the_same(clock: Any, how: str) -> None:
    own, account = athlete()
    code = made(own)
    if how == "too late":
        clock.shift(timedelta(minutes=10))
    elif how == "a newer one":
        made(own)
    elif how == "new password":
        text = invitations.reset_link_as_operator(account.pk)
        invitations.reset(text, PASSWORD)
    elif how == "closed":
        Account.objects.update(is_active=False)
    else:
        code = {"another": "ABCD EFGH", "empty": "", "long": "A" * 41}[how]
    phone, answer = enter(code)
    assert answer.status_code == 422 and not is_in(phone)
    if how not in ("empty", "long"):
        assert "does not open anything" in answer.content.decode()


def test_nine_minutes_are_enough(clock: Any) -> None:
    own, _ = athlete()
    code = made(own)
    clock.shift(timedelta(minutes=9, seconds=59))
    assert is_in(enter(code)[0])


def test_of_two_that_come_with_it_at_once_one_is_in(tmp_path: Any) -> None:
    with databases.filed(tmp_path):
        _, account = athlete()
        code = sign_in_codes.make(account)

        def come() -> bool:
            try:
                return bool(sign_in_codes.redeem(code))
            except sign_in_codes.NotFound:
                return False

        assert sorted(databases.at_once(come, 6)) == [False] * 5 + [True]


def test_a_second_factor_is_still_asked_for() -> None:
    squad = stored.squad()
    coach = stored.login("head-coach", squad)
    phone, answer = enter(sign_in_codes.make(coach))
    assert (answer.status_code, answer["Location"]) == (302, "/login/code") and not is_in(phone)


def test_a_demo_account_comes_in_on_this_machine_alone() -> None:
    _, account = athlete()
    Account.objects.update(demo=True)
    away = Client(REMOTE_ADDR="203.0.113.9")
    enter(sign_in_codes.make(account), away)
    assert not is_in(away)
    assert is_in(enter(sign_in_codes.make(account))[0])


def test_whoever_has_a_password_says_it_before_a_code_is_made() -> None:
    own, account = athlete(PASSWORD)
    answer = own.post("/account/code")
    assert answer.status_code == 302 and answer["Location"].startswith("/account/again")
    own.post("/account/again", {"password": PASSWORD})
    assert made(own)


def test_it_stands_nowhere_as_it_is_typed_nor_as_a_hash_that_anybody_can_make() -> None:
    import hashlib

    own, account = athlete()
    bare = made(own).replace(" ", "")
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM records_onetimelink")
        row = repr(cursor.fetchall())
    assert bare not in row and hashlib.sha256(bare.encode()).hexdigest() not in row
    assert OneTimeLink.objects.get().account == account


def test_tries_are_counted_by_network_and_all_together(monkeypatch: pytest.MonkeyPatch) -> None:
    found = [enter("ABCD EFGH")[1].status_code for _ in range(limits.LINK.most + 1)]
    assert found == [422] * limits.LINK.most + [429]
    monkeypatch.setattr(limits, "CODE", limits.Limit("code, counted anew", 3, 600))
    apart = [Client(REMOTE_ADDR=f"203.0.{n}.9") for n in range(5)]
    found = [enter("ABCD EFGH", client)[1].status_code for client in apart]
    assert found == [422] * 3 + [429] * 2


def invited(role: str) -> tuple[Client, str]:
    squad = stored.squad()
    stored.athletes(["a1"], squad)
    link = invitations.invite_as_operator("hall", role, "Ida", "a1" if role == "athlete" else None)
    phone = Client()
    assert phone.get(f"/join/{link}").status_code == 302
    return phone, link


def test_an_athlete_comes_in_by_the_invitation_alone_and_may_make_a_passkey_at_once() -> None:
    phone, link = invited("athlete")
    answer = phone.post("/join", {"username": "ida", "password": ""})
    assert (answer.status_code, answer["Location"]) == (302, "/account/second-factor")
    account = Account.objects.get(username="ida")
    assert not account.has_usable_password() and is_in(phone)
    assert phone.get("/account/second-factor/passkey").status_code == 200, "asked for what there is none of"
    other, answer = enter(made(phone))
    assert answer.status_code == 302 and is_in(other)
    assert Client().get(f"/join/{link}").status_code == 404
    assert Client().post("/login", {"username": "ida", "password": ""}).status_code == 422


def test_nobody_else_comes_in_without_a_password() -> None:
    phone, _ = invited("assistant")
    assert phone.post("/join", {"username": "ida", "password": ""}).status_code == 422
    assert not Account.objects.filter(username="ida").exists()


def test_with_a_password_it_is_as_before() -> None:
    phone, _ = invited("athlete")
    answer = phone.post("/join", {"username": "ida", "password": PASSWORD})
    assert (answer.status_code, answer["Location"]) == (302, "/login") and not is_in(phone)


def test_whoever_has_to_be_vouched_for_reads_nothing_by_the_link_either() -> None:
    from athletes.records.models import Athlete, CheckIn

    squad = stored.squad()
    stored.athletes(["a1"], squad)
    CheckIn.objects.create(athlete=Athlete.objects.get(), local_date=stored.YESTERDAY)
    coach = stored.login("head-coach", squad)
    from athletes.records import access

    viewer = access.viewer_for(coach, stored.TODAY)
    key = next(one.key for one in invitations.people(viewer).known if one.athlete_id)
    link = invitations.invite(viewer, "athlete", "Ida", key)
    phone = Client()
    phone.get(f"/join/{link}")
    phone.post("/join", {"username": "ida", "password": ""})
    assert phone.get("/me/today")["Location"] == "/account/held"
