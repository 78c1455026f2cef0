"""Problem documents as the schema describes them."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import OpenApiResponse
from rest_framework import serializers

from api.v1.errors import PROBLEM

SIGNED_IN: list[dict[str, list[str]]] = [{"bearerAuth": []}, {"cookieAuth": []}]
"""Nothing here answers without one of them; the drawing of permissions by class does not know of the door."""

SAID = {
    400: "The query or the body cannot be read, or the Idempotency-Key is missing.",
    403: "A token without the scope, or a session without its CSRF token. Nothing was looked up or stored.",
    404: "Nobody is signed in, the person has no role, there is no such thing, or it is not theirs to see or change.",
    409: "The same request, under the same Idempotency-Key, is being worked on. Retry-After says when to send again.",
    412: "It has changed since the version that If-Match names. Nothing was stored.",
    413: "The body is too large.",
    415: "The body is not application/json.",
    422: "A value cannot be stored, or the Idempotency-Key was sent with another request. Nothing was stored.",
    428: "If-Match is missing, or names no version.",
    503: "The database does not answer. What was sent may not be stored; Retry-After says when to send it again.",
}


class ValueProblem(serializers.Serializer):
    pointer = serializers.CharField(required=False, help_text="A JSON pointer into the body, as a URI fragment.")
    parameter = serializers.CharField(required=False, help_text="A parameter of the query.")
    detail = serializers.CharField()


class Problem(serializers.Serializer):
    """An error (RFC 9457)."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField(required=False)
    errors = ValueProblem(many=True, required=False)


def problems(*codes: int) -> dict[Any, OpenApiResponse]:
    """The entries of these statuses, and of a database that is away, for `extend_schema(responses=...)`."""
    return {(code, PROBLEM): OpenApiResponse(Problem, description=SAID[code]) for code in sorted({*codes, 503})}
