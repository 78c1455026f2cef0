"""Thirteen people at every address, with ids of their own, of others and of nobody in every place that an id can hide.

What is another's answers byte for byte as what does not exist, and whatever is sent at it leaves the tables as they
were. The addresses are those of the resolver, so none can be forgotten; `-s` prints the counts.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
import time_machine
from django.urls import URLPattern, URLResolver, get_resolver
from rest_framework import exceptions

from athletes.records import access
from athletes.records.errors import BadInput
from athletes.records.models import Athlete
from tests import stored
from tests.api_cast import BODIES
from tests.bars import world as worlds
from tests.bars.world import NEVER, Caller, World

pytestmark = pytest.mark.django_db
METHODS = ("get", "post", "put", "patch", "delete")
HOLE = re.compile(r"<(?:str|int):(\w+)>")
TOKEN = re.compile(rb'name="(?:csrfmiddlewaretoken|idempotency_key)" value="[^"]+"|"(?:csrf|token)": "[^"]+"')
MASKED = {"Set-Cookie", "Date", "X-Request-Id"}
GOLDEN = Path(__file__).parents[2] / "fixtures" / "golden" / "who_finds_what.json"
APART = re.compile(
    r"login|healthz|readyz|join|new-password|calendar/|reminders/|account/again|account/second-factor(?!/passkeys/<)"
)
"""Addresses for people who are not signed in, of which a calendar's has bars of its own, and the library's own for
one's second factor: no id of a record goes in, tries at them are counted, and some show a secret new each time.
"""
ROSTER = ("squad/<str:code>",)
"""A head coach keeps the list of the squad, names and days of birth, whatever is shared of anybody in it."""
FORM = ("athlete", "athlete_id", "for", "code", "event", "event_id", "person", "squad", "squad_id", "place", "place_id",
        "entry", "damage", "episode_id", "look_id", "key", "back", "undo", "session", "prefix")  # fmt: skip


def routes(resolver: URLResolver | None = None, prefix: str = "") -> Iterator[str]:
    for one in (resolver or get_resolver()).url_patterns:
        route = prefix + str(one.pattern)
        if isinstance(one, URLPattern):
            yield route
        else:
            yield from routes(one, route)


ROUTES = sorted(route for route in set(routes()) if not APART.match(route))


def kind_of(route: str, hole: str) -> str:
    """What an id in the address names."""
    if hole == "code":
        first = route.split("/<")[0].split("/")[-1]
        return {"athletes": "athlete", "places": "place", "events": "event", "squad": "athlete"}[first]
    return {"athlete_id": "athlete", "event_id": "event", "episode_id": "damage", "look_id": "look", "pk": "look",
            "name": "photo", "number": "trial"}[hole]  # fmt: skip


def filled(route: str, ids: dict[str, str]) -> str:
    return "/" + HOLE.sub(lambda found: ids[kind_of(route, found[1])], route)


@dataclass
class Walk:
    """One caller at every address; `wrong` says what was not as it must be."""

    world: World
    caller: Caller
    asked: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    def others(self) -> list[dict[str, str]]:
        """Ids that are not the caller's: the other club's, and the home athlete's where they are not theirs to read."""
        return [self.world.away.ids, *([self.home()] if not self.caller.reads else [])]

    def home(self) -> dict[str, str]:
        """Ids of the home athlete, and of nothing else."""
        kinds = ("athlete", "damage", "look", "photo", "trial")
        return {**NEVER, **{kind: self.world.home.ids[kind] for kind in kinds}}

    def send(self, method: str, path: str, **options: Any) -> tuple[int, bytes, dict[str, str]]:
        headers = {"idempotency-key": uuid4().hex, **self.caller.headers, **options.pop("headers", {})}
        answer = getattr(self.caller.client, method)(path, headers=headers, **options)
        kept = {name: value for name, value in answer.headers.items() if name not in MASKED}
        return answer.status_code, TOKEN.sub(b"", answer.content), kept

    def alike(self, where: str, method: str, there: str, nowhere: str, ids: dict[str, str], **options: Any) -> int:
        """Ask for both; `options` may hold a function of the ids. Returns the status of the other's."""
        here, gone = ({k: v(which) if callable(v) else v for k, v in options.items()} for which in (ids, NEVER))
        found, never = self.send(method, there, **here), self.send(method, nowhere, **gone)
        if method == "post" and not there.startswith("/api/"):
            self.send("get", "/nowhere")  # what was said about a form is shown once, on the next page
        self.asked[where] += 1
        if unlike(found, ids) != unlike(never, ids):
            self.wrong.append(f"{self.caller.name}: {method} {there}: {where}: {found[0]} is not {never[0]}")
        return found[0]


def unlike(answer: tuple[int, bytes, dict[str, str]], ids: dict[str, str]) -> tuple[int, bytes, dict[str, str]]:
    """The answer with the ids that the caller sent taken out, where they are sent back."""
    status, content, headers = answer
    for kind, value in ids.items():
        if NEVER[kind] != value:
            content = content.replace(value.encode(), NEVER[kind].encode())
            headers = {name: text.replace(value, NEVER[kind]) for name, text in headers.items()}
    return status, content, headers


def bodies_of(method: str, route: str) -> Iterator[Any]:
    """Good bodies of what can be sent there, so that nothing but the door stands in the way."""
    if method in ("get", "delete") or not route.startswith("api/"):
        yield None
    elif method == "post":
        yield from (b for p, b in BODIES.values() if route.endswith(p.replace("d1", "<str:episode_id>")))
    elif method == "patch":
        yield {"pain": 1} if "looks" in route else {"status": "entered"} if "entries" in route else {"bar": 50}
    if method in ("post", "put") and route.startswith("api/"):
        yield {}


def hidden(ids: dict[str, str]) -> dict[str, str]:
    """The ids under every name that a form or a query has for them."""
    named = {kind: kind for kind in ("event", "squad", "place", "damage", "look")} | {"episode": "damage"}
    return {name: ids[next((k for n, k in named.items() if n in name), "athlete")] for name in FORM}


def asked_for(ids: dict[str, str]) -> dict[str, str]:
    """The same for a query, as filter, order and what is to be filled in."""
    athlete = ids["athlete"]
    return {**hidden(ids), "filter": f"athlete_id:{athlete}", "order": athlete, "expand": athlete, "cursor": athlete}


def in_path(walk: Walk, route: str) -> None:
    kinds = {kind_of(route, hole) for hole in HOLE.findall(route)}
    for ids in walk.others():
        if all(ids[kind] == NEVER[kind] for kind in kinds) or (ids != walk.world.away.ids and route in ROSTER):
            continue
        there, nowhere = filled(route, ids), filled(route, NEVER)
        for method in METHODS:
            for body in bodies_of(method, route):
                options: dict[str, Any] = {"headers": {"if-match": '"1"'}} if method == "patch" else {}
                if body is not None:
                    options |= {"data": json.dumps(body), "content_type": "application/json"}
                status = walk.alike(f"path, {method}", method, there, nowhere, ids, **options)
                # An empty body is refused before anybody is looked for, whoever it is about.
                if status not in (302, 401, 403, 404, 405) and (body != {} or status != 422):
                    walk.wrong.append(f"{walk.caller.name}: {method} {there}: {status} for what is another's")


def elsewhere(walk: Walk, route: str) -> None:
    """In the query, in a form, in a body, nested, in a list; as filter and order."""
    home, ids = filled(route, walk.world.home.ids), dict(walk.world.away.ids)
    if not walk.caller.reads:
        ids |= {kind: value for kind, value in walk.home().items() if value != NEVER[kind]}
    walk.alike("query, filter, order", "get", home, home, ids, data=asked_for)
    if route.startswith("api/"):
        for nest in (lambda b: b, lambda b: [{"athlete": b, "event": {"in": b}}, [b]]):
            walk.alike(
                "body, nested, list", "post", home, home, ids, content_type="application/json",
                data=lambda ids, nest=nest: json.dumps(nest(hidden(ids))),
            )  # fmt: skip
        return
    for name in ("for",) if route.startswith("me/") else ("athlete", "squad"):
        walk.alike(f"query, {name}", "get", home, home, ids, data=lambda ids, name=name: {name: hidden(ids)[name]})
    walk.alike("form", "post", home, home, ids, data=hidden)


def own(walk: Walk) -> dict[str, int]:
    """What the caller is answered with the ids of their own club."""
    return {route: walk.send("get", filled(route, walk.world.home.ids))[0] for route in ROUTES}


NAMES = [
    "stranger", "athlete self", "athlete other", "guardian own", "guardian other", "head coach", "medical", "manager",
    "assistant with a limited purpose", "withdrawn a second ago", "disabled", "support without a reason",
    "token for check-ins alone",
]  # fmt: skip


@pytest.fixture
def world() -> Iterator[World]:
    with time_machine.travel(stored.NOW, tick=False):
        yield worlds.build()


@pytest.mark.parametrize("name", NAMES)
def test_what_is_anothers_is_as_what_does_not_exist(world: World, name: str) -> None:
    walk = Walk(world, world.callers()[name]())
    before = worlds.digest()
    for route in ROUTES:
        if HOLE.search(route):
            in_path(walk, route)
    assert worlds.digest() == before, "something was written"
    for route in ROUTES:
        elsewhere(walk, route)
    print(f"{name}: {len(ROUTES)} addresses, {sum(walk.asked.values())} pairs: {dict(walk.asked)}")
    assert walk.wrong == [], "\n".join(walk.wrong[:40])


@pytest.mark.parametrize("name", NAMES)
def test_each_finds_of_their_own_what_is_theirs_to_find(world: World, name: str) -> None:
    """Against the table that somebody has read: `fixtures/golden/who_finds_what.json`, by address and by caller."""
    found = own(Walk(world, world.callers()[name]()))
    print(f"{name}: {dict(Counter(found.values()))} of {len(found)} addresses")
    assert found == {route: told.get(name) for route, told in json.loads(GOLDEN.read_text()).items()}


@pytest.mark.parametrize("bug", ["403 for another's", "a filter that is forgotten", "another word for what is there"])
def test_planted_bugs_are_found(world: World, monkeypatch: pytest.MonkeyPatch, bug: str) -> None:
    caller = world.callers()["head coach"]()
    route = "api/v1/athletes/<str:athlete_id>"
    real = access._ref

    def planted(viewer: Any, data_class: str, key: str, value: Any) -> Any:
        there = Athlete.objects.filter(**{key: value}).first()
        if there is not None and value.startswith("f-"):
            if bug.startswith("403"):
                raise exceptions.PermissionDenied
            if bug.startswith("a filter"):
                return access._as_ref(viewer, there, access.EVERYTHING)
            raise BadInput("athlete", "not yours", there.name)
        return real(viewer, data_class, key, value)

    monkeypatch.setattr(access, "_ref", planted)
    walk = Walk(world, caller)
    in_path(walk, route)
    assert walk.wrong
