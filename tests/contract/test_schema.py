"""The interface's own description: valid OpenAPI 3.1, served to those who may use it, and true of every answer."""

from __future__ import annotations

import json
import warnings
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.core.management import call_command
from django.test import Client
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.validation import validate_schema
from jsonschema import Draft202012Validator, FormatChecker

from athletes.records.models import Athlete, Damage, Look, Squad
from tests import api_cast, stored
from tests.api_calls import GOOD, post, send

API = "/api/v1"
CHECK_INS = "/api/v1/athletes/{athlete_id}/check-ins"
GOLDEN = Path(__file__).parents[2] / "fixtures/golden/openapi.json"
RENEW = "python3 manage.py spectacular --format openapi-json --file fixtures/golden/openapi.json"


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


def test_it_has_not_drifted_from_what_was_agreed() -> None:
    """Other programs build on it: a change is looked at, and committed with the code that makes it."""
    assert schema() == json.loads(GOLDEN.read_text()), f"Where the change is meant, renew the file:\n{RENEW}"


def operations() -> list[tuple[str, str, dict[str, Any]]]:
    return [(path, method, o) for path, item in schema()["paths"].items() for method, o in item.items()]


def test_every_operation_has_a_name_of_its_own_and_says_what_it_does() -> None:
    names = [o["operationId"] for _, _, o in operations()]
    assert len(names) == len(set(names)) and all(o["description"].strip() for _, _, o in operations())


def test_every_operation_needs_a_token_or_a_session_and_documents_its_problems() -> None:
    asked = {"get": set(), "post": {"400", "409", "413", "415", "422"}, "patch": {"412", "413", "415", "422", "428"}}
    for path, method, operation in operations():
        assert operation["security"] == [{"bearerAuth": []}, {"cookieAuth": []}]
        problems = {code: set(r["content"]) for code, r in operation["responses"].items() if code >= "400"}
        assert {"403", "404", "503"} | asked[method] <= set(problems), (path, method)
        assert set().union(*problems.values()) == {"application/problem+json"}


def test_every_post_needs_a_key_and_every_change_a_version() -> None:
    needed = {"post": "Idempotency-Key", "patch": "If-Match"}
    for path, method, operation in operations():
        found = {p["name"] for p in operation.get("parameters", []) if p["in"] == "header" and p.get("required")}
        assert found == ({needed[method]} if method in needed else set()), (path, method)


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


READ = [
    ("/athletes", {}),
    ("/athletes/{athlete_id}", {}),
    ("/athletes/{athlete_id}/check-ins", {}),
    ("/athletes/{athlete_id}/sessions", {}),
    ("/athletes/{athlete_id}/care", {}),
    ("/athletes/{athlete_id}/damage", {}),
    ("/athletes/{athlete_id}/damage/{episode_id}/looks", {"episode_id": "d1"}),
    ("/athletes/{athlete_id}/looks/{look_id}", {"look_id": "1"}),
    ("/athletes/{athlete_id}/sightings", {}),
    ("/athletes/{athlete_id}/sign-offs", {}),
    ("/athletes/{athlete_id}/entries", {}),
    ("/athletes/{athlete_id}/decisions", {}),
    ("/deadlines", {}),
    ("/events", {}),
    ("/events/{event_id}", {"event_id": "lindmark-cup"}),
    ("/events/{event_id}/entries", {"event_id": "lindmark-cup"}),
    ("/events/{event_id}/entries/{athlete_id}", {"event_id": "lindmark-cup"}),
]


@pytest.fixture
def full() -> Any:
    """A coach, with one of everything that each role may post already posted."""
    with time_machine.travel(stored.NOW, tick=False):
        coach = api_cast.cast("head-coach")
        squad, rows = Squad.objects.get(), list(Athlete.objects.order_by("code"))
        for role in ("athlete", "medical", "head-coach"):
            coach.force_login(api_cast.account(role, squad, rows))
            for path, body in api_cast.BODIES.values():
                template = f"{API}/athletes/{{athlete_id}}/{path.replace('d1', '{episode_id}')}"
                assert wrong(template, "post", send(coach, f"athletes/a1/{path}", body)) == []
        yield coach


@pytest.mark.django_db
def test_whatever_is_read_is_as_described(full: Client) -> None:
    look = str(Look.objects.get().pk)
    for path, values in READ:
        where = {"athlete_id": "a1"} | values | ({"look_id": look} if "look_id" in values else {})
        found = full.get(API + path.format(**where))
        assert (found.status_code, wrong(API + path, "get", found)) == (200, []), path
        assert found.json().get("results") != []
        bad = full.get(API + path.format(**where) + "?limit=x")
        assert wrong(API + path, "get", bad) == [] and bad.status_code == (400 if "results" in found.json() else 200)


def test_no_address_is_left_out() -> None:
    assert {API + path for path, _ in READ} == {path for path, method, _ in operations() if method == "get"}


@pytest.mark.django_db
def test_what_a_change_is_answered_is_as_described(full: Client) -> None:
    look, event = f"athletes/a1/looks/{Look.objects.get().pk}", "events/lindmark-cup"
    for path, template, body in (
        (look, "/athletes/{athlete_id}/looks/{look_id}", {"pain": 1}),
        (event, "/events/{event_id}", {"bar": 50}),
        (f"{event}/entries/a1", "/events/{event_id}/entries/{athlete_id}", {"status": "entered"}),
    ):
        tag = full.get(f"{API}/{path}")["ETag"]
        tries = [(428, "", body), (200, tag, body), (412, tag, body), (422, tag, {}), (400, tag, "{")]
        for status, seen, sent in tries:
            answer = send(full, path, sent, "patch", headers={"if-match": seen} if seen else {})
            assert (answer.status_code, wrong(API + template, "patch", answer)) == (status, []), path


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
    (GOOD, {"headers": {"idempotency-key": ""}}, "a1", 400),
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
    headers = {"x-csrftoken": me.cookies["csrftoken"].value} | options.get("headers", {})
    answer = post(me, body, code, **(options | {"headers": headers}))
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
