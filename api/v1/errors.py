"""Errors as RFC 9457 problem details. What one may not see and what does not exist answer alike."""

from __future__ import annotations

from typing import Any

from django.http import Http404
from rest_framework import exceptions, status
from rest_framework.response import Response
from rest_framework.views import exception_handler

from athletes.records.access import NotFound
from athletes.records.errors import BadInput

PROBLEM = "application/problem+json"


def problem(error: Exception, context: dict[str, Any]) -> Response | None:
    """DRF's exception hook: every error becomes a problem document; None lets a fault of ours surface as a 500."""
    if isinstance(error, BadInput):
        return _document(
            status.HTTP_422_UNPROCESSABLE_ENTITY, "An answer cannot be stored", [_field(error.field, error.problem)]
        )
    if isinstance(error, NotFound | Http404 | exceptions.NotAuthenticated | exceptions.PermissionDenied):
        return _document(status.HTTP_404_NOT_FOUND, "Not found", [])
    if isinstance(error, exceptions.ValidationError):
        return _document(status.HTTP_422_UNPROCESSABLE_ENTITY, "An answer cannot be stored", _fields(error.detail))
    answer = exception_handler(error, context)
    if answer is None:
        return None
    return _document(answer.status_code, str(getattr(error, "default_detail", "Error")), [], dict(answer.items()))


def _field(pointer: str, detail: str) -> dict[str, str]:
    return {"pointer": f"#/{pointer}", "detail": detail}


def _fields(detail: Any, path: str = "") -> list[dict[str, str]]:
    """DRF's nested detail as flat JSON pointers."""
    if isinstance(detail, dict):
        return [f for key, value in detail.items() for f in _fields(value, f"{path}/{key}".lstrip("/"))]
    if isinstance(detail, list) and any(isinstance(item, dict) for item in detail):
        return [f for n, item in enumerate(detail) for f in _fields(item, f"{path}/{n}")]
    return [_field(path, str(text)) for text in (detail if isinstance(detail, list) else [detail])]


def _document(
    code: int, title: str, errors: list[dict[str, str]], headers: dict[str, str] | None = None
) -> Response:
    body: dict[str, Any] = {"type": "about:blank", "title": title, "status": code}
    if errors:
        body["errors"] = errors
    kept = {k: v for k, v in (headers or {}).items() if k.lower() in ("allow", "retry-after", "www-authenticate")}
    return Response(body, status=code, content_type=PROBLEM, headers=kept)
