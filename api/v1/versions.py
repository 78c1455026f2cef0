"""Strong ETags of single things, and changes only over the version that the caller has seen (RFC 9110, 13)."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from typing import Any

from rest_framework import serializers, status
from rest_framework.exceptions import APIException
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response

TAG = re.compile(r'"([0-9]{1,9})-[0-9a-f]{8}"', re.ASCII)

class NoCondition(APIException):
    status_code = 428
    default_detail = "Send If-Match with the ETag of what you have read, so that nobody's change is lost."


def single(request: Request, body: Any, version: int = 0) -> Response:
    """One thing with its ETag; 304 where the caller has it already. The tag carries the row's version, and a digest
    of what is shown, which may change with what is shared.
    """
    shown = hashlib.sha256(JSONRenderer().render(body)).hexdigest()[:8]
    tag = f'"{version}-{shown}"'
    known = {part.strip().removeprefix("W/") for part in request.headers.get("If-None-Match", "").split(",")}
    if request.method == "GET" and tag in known:
        return Response(status=status.HTTP_304_NOT_MODIFIED, headers={"ETag": tag})
    return Response(body, headers={"ETag": tag})


def seen(request: Request) -> frozenset[int]:
    """The versions that the caller would change; empty for a weak tag and for none of ours. Raises NoCondition
    without If-Match, and for `*`, which names no version.
    """
    given = request.headers.get("If-Match", "").strip()
    if given in ("", "*"):
        raise NoCondition
    tags = (TAG.fullmatch(part.strip()) for part in given.split(","))
    return frozenset(int(tag[1]) for tag in tags if tag)


def changes(request: Request, body: type[serializers.Serializer]) -> tuple[Mapping[str, Any], str]:
    """The values to change, and why. Raises ValidationError, also where there is nothing to change."""
    given = body(data=request.data)
    given.is_valid(raise_exception=True)
    found = dict(given.validated_data)
    why = found.pop("why", "")
    if not found:
        raise serializers.ValidationError("There is nothing to change.")
    return found, why
