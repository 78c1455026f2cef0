"""POST under an Idempotency-Key: a program that lost the answer sends again, and nothing is stored twice."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.http import HttpResponse
from rest_framework import serializers, status
from rest_framework.exceptions import ParseError
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request

from api.v1 import door, made_once
from athletes.records.viewer import Viewer
from coaching.usecases import once

KEY = re.compile(r"[\x21-\x7e]{1,255}", re.ASCII)
NO_KEY = (
    "Send an Idempotency-Key: a new random text (a UUID will do) for each thing to store, and the same one again when"
    " you repeat the request. At most 255 printable ASCII characters without spaces."
)
Given = Mapping[str, Any]


@dataclass(frozen=True)
class Stored:
    """What was stored: the body of the answer, of whom it tells, and whether it corrected what stood."""

    body: Any
    athlete_id: int | None
    corrected: bool = False


@dataclass(frozen=True)
class Post:
    """How to take one kind of body: the scope, its fields, the door, and the use-case."""

    scope: str
    body: type[serializers.Serializer]
    may: Callable[[Viewer, Given], object]
    store: Callable[[Viewer, Given], Stored]
    at_once: Callable[[Viewer, Given, once.Sent], once.Answer | None] = lambda *_: None
    """A shorter way that comes to the same; None where this request cannot go it, and then it has stored nothing."""


class Answered(HttpResponse):
    """A body as it is stored, which nobody renders a second time."""

    @property
    def data(self) -> Any:
        """What the body says."""
        return json.loads(self.content)


def post(request: Request, how: Post) -> Answered:
    """The answer to a POST: 201, or 200 for a correction. The door comes before the key, the key before the body."""
    viewer = door.viewer(request, how.scope)
    key = request.headers.get("Idempotency-Key", "")
    if not KEY.fullmatch(key):
        raise ParseError(NO_KEY)
    given = made_once.of(how.body, data=request.data)
    given.is_valid(raise_exception=True)
    found = given.validated_data
    sent = once.Sent(viewer.account_id or 0, key, _digest(request))
    answer = how.at_once(viewer, found, sent)
    if answer is None:
        answer = once.once(sent, lambda: how.may(viewer, found), lambda: answered(how.store(viewer, found)))
    return Answered(answer.body, status=answer.status, content_type=JSONRenderer.media_type)


def answered(stored: Stored) -> once.Answer:
    """What is kept under the key and said."""
    code = status.HTTP_200_OK if stored.corrected else status.HTTP_201_CREATED
    return once.Answer(code, JSONRenderer().render(stored.body).decode(), stored.athlete_id)


def _digest(request: Request) -> str:
    """SHA-256 over what is asked; how the JSON was laid out does not count."""
    body = json.dumps(request.data, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(f"{request.method} {request.path}\n{body}".encode()).hexdigest()
