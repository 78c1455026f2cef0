"""What was let through in a request is written down before its answer leaves."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from athletes.records import access_seen
from coaching.usecases import access_log

SHOWN = frozenset({409, 412, 422})
"""Answers that refuse something and may still show what stands."""


class ReadsMiddleware:
    """Behind the door. Where the row cannot be written, the request fails: nothing is read that is not told."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with access_seen.watching() as seen:
            response = self.get_response(request)
        viewer = getattr(request, "viewer", None)
        if seen and viewer is not None and (response.status_code < 400 or response.status_code in SHOWN):
            match = request.resolver_match
            what = (match.url_name or match.route) if match else ""
            program = getattr(request, "token", None) is not None
            access_log.write(viewer, seen, what, request.method or "", program)
        return response
