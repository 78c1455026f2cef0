"""Ready-made logins are for the machine they were made on."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from athletes.records.models import Account, Club, Person, Role, Squad
from coaching.usecases.accounts import DEMO_PASSWORD, make_demo_logins

ELSEWHERE = [
    {"REMOTE_ADDR": "192.0.2.7"},
    {"REMOTE_ADDR": "2001:db8::7"},
    {"REMOTE_ADDR": ""},
    {"REMOTE_ADDR": "127.0.0.1", "HTTP_X_FORWARDED_FOR": "192.0.2.7"},
    {"REMOTE_ADDR": "127.0.0.1", "HTTP_FORWARDED": "for=192.0.2.7"},
]
HERE = [{"REMOTE_ADDR": "127.0.0.1"}, {"REMOTE_ADDR": "::1"}]


@pytest.fixture
def coach(db: Any) -> Account:
    squad = Squad.objects.create(club=Club.objects.create(name="c"), code="s", name="s")
    person = Person.objects.create(code="p-coach", name="Coach")
    Role.objects.create(person=person, squad=squad, role="head-coach")
    make_demo_logins()
    return Account.objects.get(username="p-coach")


def sign_in(where: dict[str, str]) -> tuple[int, int]:
    client = Client(**where)
    posted = client.post("/login", {"username": "p-coach", "password": DEMO_PASSWORD})
    return posted.status_code, client.get("/morning").status_code


@pytest.mark.parametrize("where", HERE)
def test_on_the_machine_itself_they_work(coach: Account, where: dict[str, str]) -> None:
    assert sign_in(where) == (302, 200)


@pytest.mark.parametrize("where", ELSEWHERE)
def test_from_elsewhere_they_do_not_exist(coach: Account, where: dict[str, str]) -> None:
    assert sign_in(where) == (422, 404)


@pytest.mark.parametrize("where", ELSEWHERE)
def test_a_session_carried_elsewhere_ends(coach: Account, where: dict[str, str]) -> None:
    client = Client(**where)
    client.force_login(coach)
    assert client.get("/morning").status_code == 404


@pytest.mark.parametrize("where", ELSEWHERE)
def test_the_login_page_tells_them_to_nobody_else(coach: Account, where: dict[str, str]) -> None:
    assert DEMO_PASSWORD.encode() not in Client(**where).get("/login").content
    assert DEMO_PASSWORD.encode() in Client(REMOTE_ADDR="127.0.0.1").get("/login").content


def test_a_real_account_signs_in_from_anywhere_and_is_led_to_its_second_factor(coach: Account) -> None:
    Account.objects.update(demo=False)
    assert sign_in({"REMOTE_ADDR": "192.0.2.7"}) == (302, 302)
    assert sign_in(HERE[0]) == (302, 302)
