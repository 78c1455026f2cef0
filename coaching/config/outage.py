"""The answer while the database is away: come again in a moment, 503. Whatever else goes wrong stays a 500."""

from __future__ import annotations

import logging
import sys

from django.db import InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext

from coaching.config import views

log = logging.getLogger(__name__)
RETRY_S = 5


def failed(request: HttpRequest) -> HttpResponse:
    """The handler of all that no view and no middleware caught; it runs while the error is being handled."""
    error = sys.exc_info()[1]
    if not _outage(error):
        return views.failed(request)
    log.warning("%s %s: the database is away: %s", request.method, request.path, str(error).partition("\n")[0])
    answer = _problem() if request.path.startswith("/api/") else HttpResponse(render_to_string("503.html"), status=503)
    answer.headers["Retry-After"] = str(RETRY_S)
    answer.headers["Cache-Control"] = "no-store"
    answer._has_been_logged = True  # type: ignore[attr-defined]  # a line a request is enough; no trace fills the disk
    return answer


def _problem() -> HttpResponse:
    body = {"type": "about:blank", "title": "Service Unavailable", "status": 503}
    body["detail"] = gettext("The database does not answer. What was sent may not be stored; send it again.")
    return JsonResponse(body, status=503, content_type="application/problem+json")


def _outage(error: BaseException | None) -> bool:
    """True where a database that does not answer, or answers that it cannot now, is the error or behind it."""
    seen = set()
    while error is not None and id(error) not in seen:
        if isinstance(error, OperationalError | InterfaceError):
            return True
        seen.add(id(error))
        error = error.__cause__ or error.__context__
    return False
