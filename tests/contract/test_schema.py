"""The interface's own description: valid OpenAPI 3.1, served to those who may use it, and true of every answer."""

from __future__ import annotations

import json
import warnings
from functools import cache
from typing import Any

import pytest
import time_machine
from django.core.management import call_command
from django.test import Client
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.validation import validate_schema
from jsonschema import Draft202012Validator, FormatChecker

from athletes.records.models import Damage
from tests import stored
from tests.api_calls import GOOD, post

CHECK_INS, ENTRIES = "/api/v1/athletes/{athlete_id}/check-ins", "/api/v1/athletes/{athlete_id}/entries"
OPERATIONS = {
    ("/api/v1/athletes", "get"): "listAthletes",
    (CHECK_INS, "post"): "postCheckIn",
    (ENTRIES, "get"): "readEntries",
}


@cache
def schema() -> dict[str, Any]:
    return json.loads(json.dumps(SchemaGenerator().get_schema(request=None, public=True), default=str))


def holds(content: dict[str, Any], body: Any) -> list[str]:
    """What is wrong with a body against the schema of one media type (OpenAPI 3.1 takes JSON Schema 2020-12)."""
    whole = {"$schema": "https://json-schema.org/draft/2020-12/schema", "components": schema()["components"]}
    checker = Draft202012Validator({**whole, **content["schema"]}, format_checker=FormatChecker())
    return [error.message for error in checker.iter_errors(body)]


def wrong(path: str, method: str, answer: Any) -> list[str]:
    """What is undocumented, or other than documented, in an answer."""
    said = schema()["paths"][path][method]["responses"]
    if str(answer.status_code) not in said:
        return [f"status {answer.status_code} is not documented"]
    contents = said[str(answer.status_code)]["content"]
    kind = answer["Content-Type"].split(";")[0]
    return holds(contents[kind], json.loads(answer.content)) if kind in contents else [f"{kind} is not documented"]


def test_it_is_valid_and_made_without_a_warning(tmp_path: Any) -> None:
    """OpenAPI 3.1's own meta-schema, as drf-spectacular carries it."""
    validate_schema(schema())
    assert schema()["openapi"].startswith("3.1.")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        call_command("spectacular", "--validate", "--fail-on-warn", "--file", str(tmp_path / "schema.yml"))


def test_it_names_the_operations_there_are() -> None:
    found = {(p, m): o["operationId"] for p, item in schema()["paths"].items() for m, o in item.items()}
    assert found == OPERATIONS


def test_every_operation_needs_a_session_and_documents_its_problems() -> None:
    for path, method in OPERATIONS:
        operation = schema()["paths"][path][method]
        assert operation["security"] == [{"cookieAuth": []}]
        problems = {code: set(r["content"]) for code, r in operation["responses"].items() if code >= "400"}
        assert {"404"} <= set(problems) and set().union(*problems.values()) == {"application/problem+json"}
    assert {"400", "403", "404", "413", "415", "422"} < set(schema()["paths"][CHECK_INS]["post"]["responses"])


@pytest.mark.django_db
@pytest.mark.parametrize("role", [None, "nobody", "athlete"])
def test_it_is_served_to_whoever_has_a_role(client: Client, django_user_model: Any, role: str | None) -> None:
    if role == "nobody":
        client.force_login(django_user_model.objects.create_user("stranger"))
    if role == "athlete":
        client.force_login(stored.login("athlete", None, stored.athletes(["a1"], stored.squad())))
    answer = client.get("/api/v1/schema")
    assert answer.status_code == (200 if role == "athlete" else 404)
    assert role != "athlete" or json.loads(answer.content) == schema()


@pytest.fixture
def me() -> Any:
    with time_machine.travel(stored.NOW, tick=False):
        rows = stored.athletes(["a1", "a2"], stored.squad())
        stored.conclude(rows[:1], stored.event())
        Damage.objects.create(athlete=rows[0], code="d1", site="R-web", kind="cut", noticed_on="2027-03-08")
        client = Client(enforce_csrf_checks=True)
        client.force_login(stored.login("athlete", None, rows[:1]))
        client.get("/login")
        yield client


@pytest.mark.django_db
@pytest.mark.parametrize("code", ["a1", "a2"])
def test_what_is_read_is_as_described(me: Client, code: str) -> None:
    listed, entries = me.get("/api/v1/athletes"), me.get(f"/api/v1/athletes/{code}/entries")
    assert wrong("/api/v1/athletes", "get", listed) == [] == wrong(ENTRIES, "get", entries)
    assert (listed.status_code, entries.status_code) == (200, 200 if code == "a1" else 404)


FULL = GOOD | {
    "rating_step": 2, "hardness": None, "sting": 0, "pull_pain": 10, "seconds": 21.5, "note": "",
    "marks": [{"site": "L-index-tip", "mark": "pink"}], "red_flags": ["pus"],
    "damage": [{"site": "R-web", "kind": "tear", "depth": None}],
    "looks": [{"episode_id": "d1", "stage": "closing", "pain": 3, "opens_on_pull": None}],
}  # fmt: skip
POSTED = [
    (GOOD, {}, "a1", 201),
    (FULL, {}, "a1", 201),
    ("{", {}, "a1", 400),
    (GOOD, {"headers": {"x-csrftoken": "wrong"}}, "a1", 403),
    (GOOD, {}, "a2", 404),
    ({"note": "x" * 300_000}, {}, "a1", 413),
    (GOOD, {"content_type": "text/plain"}, "a1", 415),
    ({"reserve": 11, "mood": 3}, {}, "a1", 422),
    (GOOD | {"looks": [{"episode_id": "d9", "stage": "open"}]}, {}, "a1", 422),
]


@pytest.mark.django_db
@pytest.mark.parametrize(("body", "options", "code", "status"), POSTED, ids=range(len(POSTED)))
def test_what_a_post_is_answered_is_as_described(
    me: Client, body: Any, options: dict[str, Any], code: str, status: int
) -> None:
    token = {"headers": {"x-csrftoken": me.cookies["csrftoken"].value}}
    answer = post(me, body, code, **(token | options))
    assert (answer.status_code, wrong(CHECK_INS, "post", answer)) == (status, [])


@pytest.mark.django_db
def test_a_correction_is_as_described(me: Client) -> None:
    token = {"headers": {"x-csrftoken": me.cookies["csrftoken"].value}}
    post(me, GOOD, **token)
    answer = post(me, GOOD | {"reserve": 1}, **token)
    assert (answer.status_code, wrong(CHECK_INS, "post", answer)) == (200, [])


def request_schema() -> dict[str, Any]:
    return schema()["paths"][CHECK_INS]["post"]["requestBody"]["content"]["application/json"]


def test_what_the_door_takes_its_description_takes() -> None:
    assert holds(request_schema(), GOOD) == [] == holds(request_schema(), FULL)


@pytest.mark.parametrize(
    "change",
    [
        {"reserve": 11}, {"reserve": 5.5}, {"reserve": True}, {"reserve": "6"}, {"local_date": "2027-02-30"},
        {"rating_step": 3}, {"red_flags": ["itch"]}, {"note": "x" * 2001}, {"seconds": -1}, {"mood": 3},
        {"marks": [{"site": "L-elbow", "mark": "pink"}]}, {"looks": [{"episode_id": "d1", "stage": "gone"}]},
    ],
    ids=str,
)  # fmt: skip
def test_what_the_door_refuses_its_description_refuses(change: dict[str, Any]) -> None:
    assert holds(request_schema(), GOOD | change) != []
