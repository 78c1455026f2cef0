"""Who is at the door: one viewer a request, strangers turned away, demo logins kept on their own machine."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from typing import Any

from django.contrib.auth import logout
from django.contrib.auth.backends import ModelBackend
from django.http import Http404, HttpRequest, HttpResponse

from athletes.records.viewer import Viewer
from coaching.usecases import sign_in

OPEN = frozenset({"front", "login", "healthz", "readyz"})
"""Names of the addresses that exist for everybody. For a stranger nothing else is there, by whatever method."""


FORWARDED = ("HTTP_X_FORWARDED_FOR", "HTTP_FORWARDED", "HTTP_X_REAL_IP")


def on_loopback(request: HttpRequest) -> bool:
    """True where the peer itself is this machine.

    Forwarded addresses are not believed, and a request that carries one came through a proxy, from wherever.
    """
    if any(request.META.get(name) for name in FORWARDED):
        return False
    try:
        return ipaddress.ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False


class LoopbackBackend(ModelBackend):
    """Passwords, with demo accounts refused away from their own machine as if they did not exist."""

    def authenticate(self, request: HttpRequest | None, *args: Any, **kwargs: Any) -> Any:
        account = super().authenticate(request, *args, **kwargs)
        if account is not None and account.demo and (request is None or not on_loopback(request)):
            return None
        return account


class DoorMiddleware:
    """Sets `request.viewer`: the signed-in person with their roles, or None. One query a signed-in request.

    A request for the interface that brings a token is its holder's, whatever session it also brings:
    `request.token` says what it may be used for.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.token = None  # type: ignore[attr-defined]
        request.viewer = self._viewer(request)  # type: ignore[attr-defined]
        response = self.get_response(request)
        if request.token or request.user.is_authenticated:  # type: ignore[attr-defined]
            response.headers.setdefault("Cache-Control", "no-store")
        return response

    def _viewer(self, request: HttpRequest) -> Viewer | None:
        kind, _, text = request.headers.get("Authorization", "").partition(" ")
        if request.path.startswith("/api/") and kind.lower() == "bearer":
            return self._holder(request, text.strip())
        if not request.user.is_authenticated:
            return None
        if request.user.demo and not on_loopback(request):  # type: ignore[union-attr]
            logout(request)
            return None
        return sign_in.viewer(request.user)

    def _holder(self, request: HttpRequest, text: str) -> Viewer | None:
        token = sign_in.by_token(text)
        if token is None or (token.account.demo and not on_loopback(request)):
            return None
        request.token = token  # type: ignore[attr-defined]
        return sign_in.viewer(token.account)

    def process_view(self, request: HttpRequest, *args: object) -> None:
        """Whoever has no role in any squad finds only what is open to everybody."""
        viewer = request.viewer  # type: ignore[attr-defined]
        match = request.resolver_match
        if match and match.view_name not in OPEN and (viewer is None or not viewer.grants):
            raise Http404
