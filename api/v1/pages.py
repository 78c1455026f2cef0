"""Lists by the page: `limit`, an opaque `cursor`, and the way to the next page in the body and as a link (RFC 8288)."""

from __future__ import annotations

import base64
import binascii
import json
import re
from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any
from urllib.parse import urlencode

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from api.v1.errors import BadQuery
from athletes.records.paging import Key, Page, Wanted

USUAL, MOST = 50, 200
LIMIT = re.compile(r"[0-9]{1,3}", re.ASCII)
LONGEST = 2000
KNOWN = frozenset({"limit", "cursor"})
Part = Callable[[Any], Any]


def text(value: Any) -> str:
    """A text within a cursor; raises ValueError for anything else."""
    if not isinstance(value, str):
        raise ValueError
    return value


def day(value: Any) -> date:
    """A day within a cursor."""
    return date.fromisoformat(text(value))


def instant(value: Any) -> datetime:
    """A point in time within a cursor."""
    found = datetime.fromisoformat(text(value))
    if found.utcoffset() is None:
        raise ValueError
    return found


def key(value: Any) -> int:
    """The key of a row within a cursor."""
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < 2**63:
        raise ValueError
    return value


BY_DAY: tuple[Part, ...] = (day, key)


def wanted(request: Request, parts: Sequence[Part]) -> Wanted:
    """Which page is asked for; `parts` read the cursor. Raises BadQuery naming the parameter."""
    asked = request.query_params
    if unknown := sorted(set(asked) - KNOWN):
        raise BadQuery(unknown[0], "There is no such parameter.")
    limit = asked.get("limit", str(USUAL))
    if not LIMIT.fullmatch(limit) or not 1 <= int(limit) <= MOST:
        raise BadQuery("limit", f"Give a whole number from 1 to {MOST}.")
    cursor = asked.get("cursor")
    return Wanted(int(limit), None if cursor is None else _read(cursor, parts))


def _read(cursor: str, parts: Sequence[Part]) -> Key:
    try:
        if len(cursor) > LONGEST:
            raise ValueError
        found = json.loads(base64.b64decode(cursor.encode("ascii"), altchars=b"-_", validate=True))
        if not isinstance(found, list):
            raise ValueError
        return tuple(part(value) for part, value in zip(parts, found, strict=True))
    except (ValueError, binascii.Error, RecursionError):
        raise BadQuery("cursor", "This is not a cursor of this list; take it from `next`.") from None


def _written(after: Key) -> str:
    plain = [value.isoformat() if isinstance(value, date) else value for value in after]
    return base64.urlsafe_b64encode(json.dumps(plain, separators=(",", ":")).encode()).decode()


def answer(request: Request, page: Page[Any], out: type[serializers.Serializer]) -> Response:
    """The page with the way to the next one."""
    limit = request.query_params.get("limit")
    following = None
    if page.after is not None:
        asked = {"cursor": _written(page.after)} | ({"limit": limit} if limit else {})
        following = f"{request.path}?{urlencode(asked)}"
    response = Response({"results": out(page.rows, many=True).data, "next": following})
    if following:
        response["Link"] = f'<{following}>; rel="next"'
    return response
