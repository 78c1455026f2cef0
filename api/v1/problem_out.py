"""Problem documents as the schema describes them."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import OpenApiResponse
from rest_framework import serializers

from api.v1.errors import PROBLEM

SIGNED_IN: list[dict[str, list[str]]] = [{"cookieAuth": []}]
"""Nothing here answers without a session; the drawing of permissions by class does not know of the door."""

SAID = {
    400: "The body cannot be read.",
    403: "A session without its CSRF token, or with a wrong one. Nothing was looked up or stored.",
    404: "Nobody is signed in, the person has no role, there is no such athlete, or nothing of them is shared.",
    413: "The body is too large.",
    415: "The body is not application/json.",
    422: "A value cannot be stored. Nothing was stored; every pointer names a value.",
}


class FieldProblem(serializers.Serializer):
    pointer = serializers.CharField(help_text="A JSON pointer into the body, as a URI fragment.")
    detail = serializers.CharField()


class Problem(serializers.Serializer):
    """An error (RFC 9457)."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField(required=False)
    errors = FieldProblem(many=True, required=False)


def problems(*codes: int) -> dict[Any, OpenApiResponse]:
    """The entries of these statuses for `extend_schema(responses=...)`."""
    return {(code, PROBLEM): OpenApiResponse(Problem, description=SAID[code]) for code in codes}
