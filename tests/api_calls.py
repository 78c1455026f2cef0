"""How tests post a check-in as another program would, and what they ask of the answer."""

from __future__ import annotations

import json
from typing import Any

from django.test import Client

from athletes.records.models import CheckIn, Correction, Damage, Look
from coaching.ledger.models import Staleness

GOOD = {"local_date": "2027-03-11", "reserve": 6, "dampness": 4, "agent_used": False, "red_flags": []}


def post(client: Client, body: Any, code: str = "a1", **options: Any) -> Any:
    raw = body if isinstance(body, str | bytes) else json.dumps(body)
    sent = {"content_type": "application/json", **options}
    return client.post(f"/api/v1/athletes/{code}/check-ins", raw, **sent)


def nothing_stored() -> bool:
    return not any(model.objects.exists() for model in (CheckIn, Damage, Look, Correction, Staleness))


def pointers(answer: Any) -> list[str]:
    assert (answer.status_code, answer["Content-Type"]) == (422, "application/problem+json")
    return [error["pointer"] for error in answer.json()["errors"]]
