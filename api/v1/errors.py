"""Errors as problem documents (RFC 9457). What one may not see and what does not exist answer alike."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from http import HTTPStatus
from typing import Any
from urllib.parse import quote

from django.core import exceptions as django_exceptions
from django.db import InterfaceError, OperationalError
from django.http import Http404
from django.utils.translation import gettext
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.settings import api_settings
from rest_framework.views import exception_handler

from athletes.records.access import NotFound
from athletes.records.errors import BadInput
from coaching.usecases.once import InFlight, OtherRequest
from coaching.usecases.record_look import Stale

PROBLEM = "application/problem+json"
CLOSED = (NotFound, Http404, exceptions.NotAuthenticated, django_exceptions.PermissionDenied)
KEPT_HEADERS = frozenset({"allow", "retry-after"})
AWAY = (OperationalError, InterfaceError)
AWAY_S, IN_FLIGHT_S = 5, 1
Found = dict[str, str]


class BadQuery(Exception):
    """One parameter of the query that cannot be taken."""

    def __init__(self, parameter: str, detail: str) -> None:
        super().__init__(detail)
        self.parameter, self.detail = parameter, detail


def problem(error: Exception, context: Mapping[str, Any]) -> Response | None:
    """DRF's exception hook: every error becomes a problem document; None lets a fault of ours surface as a 500.

    A session without its CSRF token is 403, not 404: it is refused before anything is looked up, so it tells nothing of
    the address, and a program that is told "not found" would look for the fault in the wrong place.
    """
    if isinstance(error, BadInput):
        return document(422, errors=[_of_field(error.field, "; ".join(filter(None, (error.problem, error.remedy))))])
    if isinstance(error, exceptions.ValidationError):
        return document(422, errors=list(_of_fields(error.detail)))
    if isinstance(error, CLOSED):
        return document(404, title="Not found")
    return _of_state(error) or _of_framework(error, context)


def _of_state(error: Exception) -> Response | None:
    """What is wrong with the moment rather than with the request."""
    if isinstance(error, BadQuery):
        named = {"parameter": _printable(error.parameter), "detail": error.detail}
        return document(400, detail=gettext("The query cannot be read."), errors=[named])
    if isinstance(error, Stale):
        return document(412, detail=gettext("It has changed since you read it. Read it again and send anew."))
    if isinstance(error, OtherRequest):
        return document(422, detail=gettext("This Idempotency-Key was sent with another request."))
    if isinstance(error, InFlight):
        said = gettext("The same request is being worked on.")
        return document(409, detail=said, headers={"Retry-After": str(IN_FLIGHT_S)})
    if isinstance(error, AWAY):
        said = gettext("The database does not answer. What was sent may not be stored; send it again.")
        return document(503, detail=said, headers={"Retry-After": str(AWAY_S)})
    return None


def _of_framework(error: Exception, context: Mapping[str, Any]) -> Response | None:
    answer = exception_handler(error, context)
    if answer is None:
        return None
    return document(answer.status_code, detail=_said(error), headers=dict(answer.items()))


def document(
    code: int,
    title: str | None = None,
    detail: str = "",
    errors: list[Found] | None = None,
    headers: Mapping[str, str] | None = None,
) -> Response:
    """One problem document; without a type of its own its title is the name of the status (RFC 9457, 4.2.1)."""
    body: dict[str, Any] = {"type": "about:blank", "title": title or HTTPStatus(code).phrase, "status": code}
    if said := detail or (gettext("Nothing was stored.") if errors else ""):
        body["detail"] = _printable(said)
    if errors:
        body["errors"] = errors
    kept = {name: value for name, value in (headers or {}).items() if name.lower() in KEPT_HEADERS}
    return Response(body, status=code, content_type=PROBLEM, headers=kept)


def _said(error: Exception) -> str:
    detail = getattr(error, "detail", "")
    return str(detail) if isinstance(detail, str) else ""


def _of_field(path: str, detail: str) -> Found:
    return {"pointer": f"#/{path}" if path else "#", "detail": _printable(detail)}


def _of_fields(detail: Any, path: tuple[str, ...] = ()) -> Iterator[Found]:
    """DRF's nested detail as flat JSON pointers (RFC 6901, in the form of a URI fragment)."""
    if isinstance(detail, Mapping):
        for key, value in detail.items():
            here = path if key == api_settings.NON_FIELD_ERRORS_KEY else (*path, _step(str(key)))
            yield from _of_fields(value, here)
    elif isinstance(detail, list):
        nested = any(isinstance(item, Mapping | list) for item in detail)
        for n, item in enumerate(detail):
            yield from _of_fields(item, (*path, str(n)) if nested else path)
    else:
        yield _of_field("/".join(path), str(detail))


def _step(key: str) -> str:
    return quote(_printable(key).replace("~", "~0").replace("/", "~1"), safe="~")


def _printable(text: str) -> str:
    """The text with halves of a surrogate pair spelt out: UTF-8 has no bytes for them."""
    return text.encode("utf-8", "backslashreplace").decode()
