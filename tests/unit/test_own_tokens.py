"""Tokens that people make for themselves: for a phone, which sends check-ins and reads nothing, and for programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
import time_machine
from django.test import Client

from api.v1 import urls
from athletes.records.models import ApiToken, CheckIn
from coaching.usecases import limits
from tests import stored
from tests.api_calls import GOOD, post, send
from tests.api_cast import BODIES

pytestmark = pytest.mark.django_db
PASSWORD = "a quiet orange lamp post"
HOLES = {"<str:athlete_id>": "a1", "<str:event_id>": "lindmark-cup", "<str:episode_id>": "d1", "<str:look_id>": "1"}


@pytest.fixture(autouse=True)
def _now() -> Iterator[Any]:
    with time_machine.travel(stored.NOW, tick=False) as clock:
        yield clock


class Cast:
    """An athlete who coaches as well, a team mate who shares everything, and the athlete's signed-in browser."""

    def __init__(self) -> None:
        squad = stored.squad()
        self.own, self.mate = stored.athletes(["a1", "a2"], squad)
        stored.share([self.own, self.mate])
        stored.conclude([self.own, self.mate], stored.event())
        self.account = stored.login("athlete", None, [self.own])
        self.account.person.roles.create(role="head-coach", squad=squad)
        self.account.authenticator_set.create(type="totp", data={"secret": ""})
        self.account.set_password(PASSWORD)
        self.account.save()
        self.browser = Client()
        self.browser.force_login(self.account)

    def made(self, **sent: str) -> str:
        answer = self.browser.post("/account/tokens", {"label": "my phone", **sent})
        assert answer.status_code == 200, answer.status_code
        return str(answer.context["made"])

    def phone(self) -> Client:
        return bearer(self.made(action="phone"))


def bearer(text: str) -> Client:
    return Client(headers={"authorization": f"Bearer {text}"})


def paths() -> Iterator[str]:
    """Every address of the interface, with ids that exist."""
    for one in urls.urlpatterns:
        route = str(one.pattern)
        for hole, value in HOLES.items():
            route = route.replace(hole, value)
        yield f"/api/v1/{route}"


def test_a_phone_stores_its_athletes_check_in() -> None:
    cast = Cast()
    assert post(cast.phone(), GOOD).status_code == 201
    assert list(CheckIn.objects.values_list("athlete__code", flat=True)) == ["a1"]


def test_it_reads_nothing_at_any_address() -> None:
    """Not even its athlete's own, and not by what its owner is besides."""
    phone = Cast().phone()
    found = {path: phone.get(path).status_code for path in paths()}
    assert len(found) > 15 and set(found.values()) <= {403, 405}, found
    for page in ("/me/today", "/me/check-in", "/morning", "/account", "/account/tokens"):
        assert phone.get(page).status_code == 404


def test_it_stores_nothing_else() -> None:
    phone = Cast().phone()
    for what, (path, body) in BODIES.items():
        if what not in ("check-in", "delivery of a check-in"):
            assert send(phone, f"athletes/a1/{path}", body).status_code == 403, what
    assert send(phone, "events/lindmark-cup", {"bar": 50}, "patch", headers={"if-match": '"1-0"'}).status_code == 403


def test_it_answers_for_nobody_else_and_another_looks_like_nobody() -> None:
    phone = Cast().phone()
    mate, nobody = (post(phone, GOOD, code) for code in ("a2", "zz9"))
    assert (mate.status_code, mate.content) == (404, nobody.content)
    assert not CheckIn.objects.exists()


def test_it_answers_for_no_ward_of_its_owner() -> None:
    cast = Cast()
    (ward,) = stored.athletes(["w1"], stored.squad("young"), stored.MINOR)
    cast.account.person.roles.create(role="guardian", athlete=ward)
    phone = cast.phone()
    assert post(cast.browser, GOOD, "w1").status_code == 201
    kept, nobody = (post(phone, GOOD, code) for code in ("w1", "zz9"))
    assert (kept.status_code, kept.content) == (404, nobody.content)


def test_only_an_athlete_makes_one() -> None:
    for role in ("head-coach", "guardian"):
        squad = stored.squad(role)
        client = Client()
        over = stored.athletes([f"w-{role}"], squad, stored.MINOR) if role == "guardian" else ()
        client.force_login(stored.login(role, squad, over))
        assert b'value="phone"' not in client.get("/account/tokens").content
        assert client.post("/account/tokens", {"action": "phone", "label": "x"}).status_code == 404


def test_a_phone_that_sends_without_end_is_slowed_down() -> None:
    phone = Cast().phone()
    found = [phone.get("/api/v1/athletes").status_code for _ in range(limits.DEVICE.most + 1)]
    assert found == [403] * limits.DEVICE.most + [429]


def test_the_text_is_shown_once_and_the_list_names_what_it_may() -> None:
    cast = Cast()
    text = cast.made(action="phone")
    page = cast.browser.get("/account/tokens").content.decode()
    assert text not in page and "my phone" in page and "send what you told of yourself, read nothing" in page
    assert text.rsplit("_", 1)[1] not in str(vars(ApiToken.objects.get()))


def test_its_owner_ends_it_and_nobody_else_does() -> None:
    cast = Cast()
    phone = cast.phone()
    row = ApiToken.objects.get()
    other = Client()
    other.force_login(stored.login("athlete", None, stored.athletes(["b1"], stored.squad("b"))))
    foreign, nobody = (other.post("/account/tokens", {"action": "end", "prefix": p}) for p in (row.prefix, "0" * 12))
    assert (foreign.status_code, foreign.content) == (404, nobody.content)
    assert cast.browser.post("/account/tokens", {"action": "end", "prefix": row.prefix}).status_code == 302
    assert post(phone, GOOD).status_code == 404 and not CheckIn.objects.exists()


def test_a_program_needs_its_owner_to_say_once_more_who_they_are() -> None:
    cast = Cast()
    asked = {"action": "program", "label": "list", "scopes": "read", "days": "9"}
    answer = cast.browser.post("/account/tokens", asked)
    assert (answer.status_code, answer["Location"][:14]) == (302, "/account/again") and not ApiToken.objects.exists()
    assert cast.browser.post("/account/again", {"password": PASSWORD}).status_code == 302
    assert bearer(cast.made(**asked)).get("/api/v1/athletes").status_code == 200


@pytest.mark.parametrize(
    "sent",
    [
        {"scopes": "own-checkins"}, {"scopes": "everything"}, {"scopes": ""}, {"days": "0"}, {"days": "367"},
        {"label": ""},
    ],
)  # fmt: skip
def test_a_program_gets_no_more_than_is_offered(sent: dict[str, str]) -> None:
    cast = Cast()
    cast.browser.post("/account/again", {"password": PASSWORD})
    asked = {"action": "program", "label": "list", "scopes": "read", "days": "9"} | sent
    assert cast.browser.post("/account/tokens", asked).status_code == 422 and not ApiToken.objects.exists()


def test_a_token_makes_no_token() -> None:
    cast = Cast()
    program = bearer(cast.made(action="phone"))
    assert program.post("/account/tokens", {"action": "phone", "label": "x"}).status_code == 404
    assert ApiToken.objects.count() == 1
