"""Every column of every table sent to every door and every form beside what belongs there: none of them is taken.

A door for programs refuses what it does not know, by name, and stores nothing; a form of a page stores just what it
would have stored without. So owner, squad, role, consent, score and times of storing are nobody's to send.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
import time_machine
from django.apps import apps
from django.db import transaction
from django.test import Client
from rest_framework import serializers

from api.v1.fields import StrictSerializer
from athletes.records.models import Damage, Look
from tests import stored
from tests.api_cast import BODIES, account
from tests.bars import world as worlds

pytestmark = pytest.mark.django_db
API = "/api/v1/"
CHANGES = {
    "look": ("athletes/a1/looks/7777700", {"pain": 3}),
    "entry": ("events/lindmark-cup/entries/a1", {"status": "entered"}),
    "event": ("events/lindmark-cup", {"bar": 50}),
}
TELLERS = {"check-in": "athlete", "delivery of a check-in": "athlete", "session done": "athlete",
           "care done": "athlete", "damage": "athlete", "look": "medical", "sign-off": "medical"}  # fmt: skip
FORMS = {
    "check-in": ("athlete", "/me/check-in"), "who-sees": ("athlete", "/me/who-sees"), "erase": ("athlete", "/me/erase"),
    "squad": ("head-coach", "/squad"), "squad-profile": ("head-coach", "/squad/a1"),
    "plan": ("head-coach", "/athletes/a1/plan"),
    "new-event": ("head-coach", "/new-event"), "sessions": ("head-coach", "/sessions"),
    "rules": ("head-coach", "/rules"),
    "event-entries": ("head-coach", "/events/lindmark-cup/entries"), "decisions": ("head-coach", "/decisions"),
    "places": ("head-coach", "/places"), "tokens": ("head-coach", "/account/tokens"),
    "people": ("head-coach", "/people"),
    "support": ("support", "/support"), "account": ("athlete", "/account"),
    "session": ("athlete", "/me/session"), "tally": ("athlete", "/me/tally"), "new damage": ("athlete", "/me/damage"),
    "episode": ("athlete", "/me/damage/d1"), "infected": ("athlete", "/me/infected"),
    "new-trial": ("athlete", "/me/trials/new"), "own-places": ("athlete", "/me/places"),
    "reminders": ("athlete", "/account/reminders"), "what-if": ("head-coach", "/athletes/a1/what-if"),
    "squad-plans": ("head-coach", "/plans"), "event": ("head-coach", "/events/lindmark-cup"),
    "not-known": ("head-coach", "/not-known"), "morning": ("head-coach", "/morning"),
}  # fmt: skip


def columns() -> list[str]:
    """Names of all columns and relations, once each."""
    fields = [field for model in apps.get_models() for field in model._meta.concrete_fields]
    return sorted({name for field in fields for name in (field.name, field.attname)})


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


@pytest.fixture
def rows() -> list[Any]:
    """`a1` and `a2`, one entered and with damage, of whom everything is shared."""
    squad = stored.squad()
    found = stored.athletes(["a1", "a2"], squad, stored.MINOR)
    stored.conclude(found[:1], stored.event())
    damage = Damage.objects.create(athlete=found[0], code="d1", site="R-web", kind="cut", noticed_on="2027-03-08")
    Look.objects.create(id=7777700, damage=damage, local_date=stored.YESTERDAY, stage="open")
    for role in stored.PURPOSES:
        stored.share(found[:1], role=role)
    return found


def signed_in(role: str, rows: list[Any]) -> Client:
    client = Client(raise_request_exception=False)
    client.force_login(account(role, rows[0].memberships.get().squad, rows))
    return client


def operations() -> dict[str, tuple[str, str, dict[str, Any]]]:
    return {
        **{what: ("post", f"athletes/a1/{path}", body) for what, (path, body) in BODIES.items()},
        **{f"change of {what}": ("patch", path, body) for what, (path, body) in CHANGES.items()},
    }


def teller(what: str) -> str:
    return TELLERS.get(what.removeprefix("change of "), "head-coach")


def send(client: Client, method: str, path: str, body: Any) -> Any:
    headers = {"idempotency-key": uuid4().hex}
    if method == "patch":
        headers = {"if-match": client.get(API + path).headers["ETag"]}
    return getattr(client, method)(API + path, json.dumps(body), content_type="application/json", headers=headers)


def known(method: str, path: str) -> set[str]:
    """Fields that the published schema says may be sent there."""
    schema = json.loads((Path(__file__).parents[2] / "fixtures" / "golden" / "openapi.json").read_text())
    ids = {"a1": "{athlete_id}", "d1": "{episode_id}", "7777700": "{look_id}", "lindmark-cup": "{event_id}"}
    route = API + "/".join(ids.get(part, part) for part in path.split("/"))
    told = schema["paths"][route][method]["requestBody"]["content"]["application/json"]["schema"]
    told = schema["components"]["schemas"][told["$ref"].split("/")[-1]] if "$ref" in told else told
    return set(told["properties"])


def taken(client: Client, method: str, path: str, body: Any, names: list[str]) -> list[str]:
    """Columns that the door did not refuse by name, all of them sent at once."""
    answer = send(client, method, path, {**body, **dict.fromkeys(names, 1)})
    refused = {error.get("pointer") for error in answer.json().get("errors", ())}
    return [name for name in names if answer.status_code != 422 or f"#/{name}" not in refused]


@pytest.mark.parametrize("what", operations())
def test_a_door_refuses_every_column_that_is_not_its_own(rows: list[Any], what: str) -> None:
    method, path, body = operations()[what]
    client = signed_in(teller(what), rows)
    others = [name for name in columns() if name not in known(method, path)]
    before = worlds.digest()
    assert taken(client, method, path, body, others) == [] and len(others) > 150
    assert worlds.digest() == before
    assert send(client, method, path, body).status_code in (200, 201), "the body alone is good"
    print(f"{what}: {len(others)} columns refused")


def test_planted_a_door_that_takes_whatever_it_is_sent_is_found(
    rows: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    real = serializers.Serializer.to_internal_value

    def lenient(self: Any, data: Any) -> Any:
        return real(self, {name: data[name] for name in self.fields if name in data})

    monkeypatch.setattr(StrictSerializer, "to_internal_value", lenient)
    method, path, body = operations()["care planned"]
    assert taken(signed_in("head-coach", rows), method, path, body, ["athlete_id", "by"]) != []


class Inputs(HTMLParser):
    """What a browser would send from the forms of a page as they stand; the last button of each is pressed."""

    def __init__(self) -> None:
        super().__init__()
        self.values: dict[str, str] = {}
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "select":
            self._select = told.get("name", "")
        elif tag == "option" and self._select and (self._select not in self.values or "selected" in told):
            self.values[self._select] = told.get("value", "")
        elif tag in ("input", "button", "textarea") and told.get("name"):
            if told.get("type") not in ("radio", "checkbox", "file") or "checked" in told:
                self.values[told["name"]] = told.get("value", "")


def sent_by_browser(client: Client, path: str) -> dict[str, str]:
    page = client.get(path)
    assert page.status_code == 200, path
    inputs = Inputs()
    inputs.feed(page.content.decode())
    return {name: value for name, value in inputs.values.items() if name != "csrfmiddlewaretoken"}


def written(client: Client, path: str, form: dict[str, str]) -> dict[str, str]:
    """Digests of all tables after the form was sent; then everything is as before."""
    with transaction.atomic():
        client.post(path, form)
        found = worlds.digest()
        transaction.set_rollback(True)
    return found


@pytest.mark.parametrize("form", FORMS)
def test_a_form_stores_what_it_would_have_stored_without_them(rows: list[Any], form: str) -> None:
    role, path = FORMS[form]
    client = signed_in(role, rows)
    told = sent_by_browser(client, path)
    without = written(client, path, told)
    for value in ("2", "a2"):
        assert written(client, path, {**dict.fromkeys(columns(), value), **told}) == without
