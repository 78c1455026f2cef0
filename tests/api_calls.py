"""How tests call the interface as another program would, and what they ask of the answer."""

from __future__ import annotations

import json
from typing import Any
from uuid import uuid4

from django.test import Client

from athletes.records.models import CheckIn, Correction, Damage, Look
from coaching.ledger.models import Staleness

GOOD = {"local_date": "2027-03-11", "reserve": 6, "dampness": 4, "agent_used": False, "red_flags": []}


def send(client: Client, path: str, body: Any, method: str = "post", **options: Any) -> Any:
    """Send JSON to an address under /api/v1/, under a key of its own unless `headers` bring one."""
    raw = body if isinstance(body, str | bytes) else json.dumps(body)
    headers = {"idempotency-key": str(uuid4())} | options.pop("headers", {})
    sent = {"content_type": "application/json", "headers": headers, **options}
    return getattr(client, method)(f"/api/v1/{path}", raw, **sent)


def post(client: Client, body: Any, code: str = "a1", **options: Any) -> Any:
    """Post a check-in."""
    return send(client, f"athletes/{code}/check-ins", body, **options)


def nothing_stored() -> bool:
    return not any(model.objects.exists() for model in (CheckIn, Damage, Look, Correction, Staleness))


def pointers(answer: Any) -> list[str]:
    assert (answer.status_code, answer["Content-Type"]) == (422, "application/problem+json")
    return [error["pointer"] for error in answer.json()["errors"]]
