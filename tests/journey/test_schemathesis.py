"""Requests that a general tool makes out of our own description, good ones and bad ones: no answer is a fault of ours,
and every answer is as described.

In one process over WSGI, with a token, on invented data. The requests are the same in every run (derandomised).
The suite's number of each operation makes 1 500 requests and more; TENPADS_FUZZ_EXAMPLES asks for another.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
import time_machine
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.strategies import one_of
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from athletes.records.models import Athlete, Look, Squad
from coaching.config.wsgi import application
from coaching.usecases import api_tokens
from tests import api_cast, stored
from tests.api_calls import send

EXAMPLES = int(os.environ.get("TENPADS_FUZZ_EXAMPLES", "55"))
LEAST = 1500
EVERYBODY = ["head-coach", "athlete", "medical"]
TELLERS = {"check-ins": ["athlete"], "/damage": ["athlete"], "sign-offs": ["medical"], "decisions": ["head-coach"]}
DAYS = ("local_date", "noticed_on", "given_on")
CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]


@pytest.fixture
def tokens() -> Iterator[dict[str, str]]:
    """A token of each role that stores something, with one of everything stored."""
    with time_machine.travel(stored.NOW, tick=False):
        client = api_cast.cast("head-coach")
        squad, rows = Squad.objects.get(), list(Athlete.objects.order_by("code"))
        found = {}
        for role in ("athlete", "medical", "head-coach"):
            account = api_cast.account(role, squad, rows)
            client.force_login(account)
            for path, body in api_cast.BODIES.values():
                send(client, f"athletes/a1/{path}", body)
            found[role] = api_tokens.make_token(account.person.code, api_tokens.SCOPES, 1)
        yield found


def strategy(operation: Any) -> Any:
    """Cases as described, and, where a query or a body can be wrong, cases that are not."""
    good = operation.as_strategy(generation_mode=schemathesis.GenerationMode.POSITIVE)
    if not (operation.body or operation.query):
        return good
    return one_of(good, operation.as_strategy(generation_mode=schemathesis.GenerationMode.NEGATIVE))


class Asked:
    """Asks, checks and counts. Left to chance alone, hardly a request would get past the door and the calendar: most
    therefore name what is there, and half of those that store bring a key and a day of this year.
    """

    def __init__(self, tokens: dict[str, str], look: int) -> None:
        self.seen: Counter[int] = Counter()
        self._tokens = tokens
        self._known = {"athlete_id": "a1", "event_id": "lindmark-cup", "episode_id": "d1", "look_id": str(look)}

    def about(self, operation: Any) -> None:
        """So many cases of one operation. Raises what Schemathesis finds."""
        roles = next((roles for path, roles in TELLERS.items() if path in operation.path), EVERYBODY)

        @settings(
            max_examples=EXAMPLES, derandomize=True, database=None, deadline=None, phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )  # fmt: skip
        @given(case=strategy(operation))
        def ask(case: Any) -> None:
            n = self.seen.total()
            self._aim(case, n)
            answer = case.call(headers={"Authorization": f"Bearer {self._tokens[roles[n % len(roles)]]}"})
            self.seen[answer.status_code] += 1
            case.validate_response(answer, checks=CHECKS)

        ask()

    def _aim(self, case: Any, n: int) -> None:
        if n % 4 and case.path_parameters:
            case.path_parameters = {name: self._known[name] for name in case.path_parameters}
        if n % 2 and case.method == "PATCH":
            case.headers["If-Match"] = f'"{1 + n % 3}-00000000"'
        if n % 2 and case.method == "POST":
            case.headers["Idempotency-Key"] = f"k-{n}"
            if isinstance(case.body, dict):
                case.body = case.body | {name: api_cast.DAY for name in DAYS if name in case.body}


@pytest.mark.slow
@pytest.mark.django_db
def test_no_request_that_the_description_allows_or_forbids_breaks_the_service(tokens: dict[str, str]) -> None:
    headers = {"Authorization": f"Bearer {tokens['athlete']}"}
    schema = schemathesis.openapi.from_wsgi("/api/v1/schema", application, headers=headers)
    asked = Asked(tokens, Look.objects.latest("id").pk)
    for found in schema.get_all_operations():
        asked.about(found.ok())
    print(asked.seen.total(), "requests:", dict(asked.seen))
    assert asked.seen.total() >= LEAST and max(asked.seen) < 500
    assert {200, 201, 400, 404, 422} <= set(asked.seen)
