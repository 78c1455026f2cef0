"""What was let through in a request is written down before its answer leaves; nobody else's rows are open to it."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from athletes.records import access_seen, row_scope
from athletes.records.row_scope import Scope
from coaching.usecases import access_log

SHOWN = frozenset({409, 412, 422})
"""Answers that refuse something and may still show what stands."""


class ReadsMiddleware:
    """Behind the door. Where the row cannot be written, the request fails: nothing is read that is not told."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        viewer = getattr(request, "viewer", None)
        scope = Scope(account=viewer.account_id if viewer else None)
        with access_seen.watching() as seen, row_scope.of(scope):
            response = self.get_response(request)
        if response.streaming:
            response.streaming_content = row_scope.within(scope, response.streaming_content)  # type: ignore[attr-defined]
        if seen and viewer is not None and (response.status_code < 400 or response.status_code in SHOWN):
            match = request.resolver_match
            what = (match.url_name or match.route) if match else ""
            program = getattr(request, "token", None) is not None
            access_log.write(viewer, seen, what, request.method or "", program)
        return response
