"""How each kind of operation stands in the schema."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema, inline_serializer
from rest_framework import serializers

from api.v1.keyed import NO_KEY
from api.v1.pages import LONGEST, MOST, USUAL
from api.v1.problem_out import SIGNED_IN, problems

Decorator = Callable[[Any], Any]
Out = type[serializers.Serializer]


def _header(name: str, said: str, **more: Any) -> OpenApiParameter:
    return OpenApiParameter(name, str, OpenApiParameter.HEADER, description=said, **more)


def _text(**more: Any) -> dict[str, Any]:
    return {"type": "string", **more}


ETAG = _header("ETag", "The version to name in If-Match.", response=[200, 304])
LINK = _header("Link", 'The next page, as `<...>; rel="next"` (RFC 8288).', response=[200])
LIMIT = OpenApiParameter(
    "limit", {"type": "integer", "minimum": 1, "maximum": MOST, "default": USUAL}, description="Rows on one page."
)
CURSOR = OpenApiParameter("cursor", _text(maxLength=LONGEST), description="Where to go on; taken from `next`.")
KEY = OpenApiParameter(
    "Idempotency-Key",
    _text(minLength=1, maxLength=255, pattern="^[!-~]{1,255}$"),
    OpenApiParameter.HEADER,
    required=True,
    description=NO_KEY,
)
IF_MATCH = OpenApiParameter(
    "If-Match",
    _text(minLength=1, maxLength=255, pattern="^[!-~]{1,255}$"),
    OpenApiParameter.HEADER,
    required=True,
    description="The ETag of what you have read.",
)


def reads(name: str, out: Out) -> Decorator:
    """One thing with its ETag."""
    same = OpenApiResponse(description="You have it already.")
    return extend_schema(
        operation_id=name, auth=SIGNED_IN, parameters=[ETAG], responses={200: out, 304: same, **problems(403, 404)}
    )


def lists(name: str, out: Out) -> Decorator:
    """A page of many."""
    fields = {"results": out(many=True), "next": serializers.CharField(allow_null=True)}
    page = inline_serializer(out.__name__.removesuffix("Out") + "Page", fields)
    return extend_schema(
        operation_id=name,
        auth=SIGNED_IN,
        parameters=[LIMIT, CURSOR, LINK],
        responses={200: page, **problems(400, 403, 404)},
    )


def posts(name: str, body: Out, out: Out, corrects: bool = False) -> Decorator:
    """Something to store under a key."""
    stored = {201: out} | ({200: out} if corrects else {})
    return extend_schema(
        operation_id=name,
        auth=SIGNED_IN,
        parameters=[KEY],
        request=body,
        responses={**stored, **problems(400, 403, 404, 409, 413, 415, 422)},
    )


def changes(name: str, body: Out, out: Out) -> Decorator:
    """A change over the version that was seen."""
    return extend_schema(
        operation_id=name,
        auth=SIGNED_IN,
        parameters=[IF_MATCH, _header("ETag", "The version after the change.", response=[200])],
        request=body,
        responses={200: out, **problems(400, 403, 404, 412, 413, 415, 422, 428)},
    )
