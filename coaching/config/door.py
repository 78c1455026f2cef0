"""Who is at the door: one viewer a request, strangers turned away, demo logins kept on their own machine."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib.auth import logout
from django.contrib.auth.backends import ModelBackend
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.utils.translation import gettext

from athletes.records.viewer import Viewer
from coaching.config.network import on_loopback
from coaching.usecases import api_tokens, sign_in

OPEN = frozenset({
    "front", "login", "healthz", "readyz", "worker", "manifest", "offline",
    "join-link", "join", "reset-link", "reset",
    "mfa_authenticate", "mfa_login_webauthn", "calendar-link", "login-code", "mail-link", "stop-link",
})  # fmt: skip
"""Names of the addresses that exist for everybody. For a stranger nothing else is there, by whatever method."""

SETTING_UP = frozenset({"mfa_index", "mfa_activate_totp", "mfa_add_webauthn", "account_reauthenticate"})
"""All that an account finds that needs a second factor and has none."""
HELD = frozenset({"held"})
"""All that an account finds for which somebody has to vouch first."""


class LoopbackBackend(ModelBackend):
    """Passwords, with demo accounts refused away from their own machine as if they did not exist."""

    def authenticate(self, request: HttpRequest | None, *args: Any, **kwargs: Any) -> Any:
        account = super().authenticate(request, *args, **kwargs)
        if account is not None and account.demo and (request is None or not on_loopback(request)):
            return None
        return account

    def get_user(self, user_id: int) -> Any:
        account = sign_in.account(user_id)
        return account if account is not None and self.user_can_authenticate(account) else None


class DoorMiddleware:
    """Sets `request.viewer`: the signed-in person with their roles, or None. One query a signed-in request.

    A request for the interface that brings a token is its holder's, whatever session it also brings:
    `request.token` says what it may be used for.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.token = None  # type: ignore[attr-defined]
        request.from_this_machine = on_loopback(request)  # type: ignore[attr-defined]
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
        viewer = sign_in.viewer(request.user)
        if (request.user.demo and not on_loopback(request)) or not sign_in.stays(request.session, viewer):  # type: ignore[union-attr]
            logout(request)
            return None
        return viewer

    def _holder(self, request: HttpRequest, text: str) -> Viewer | None:
        token = sign_in.by_token(text)
        if token is None or (token.account.demo and not on_loopback(request)):
            return None
        request.token = token  # type: ignore[attr-defined]
        viewer = sign_in.viewer(token.account)
        return sign_in.narrowed(viewer) if api_tokens.DEVICE_SCOPE in token.scopes else viewer

    def process_view(self, request: HttpRequest, *args: object) -> HttpResponse | None:
        """Whoever has no role in any squad finds only what is open to everybody; whoever has something to do first
        finds that.
        """
        viewer, match = request.viewer, request.resolver_match  # type: ignore[attr-defined]
        name = match.view_name if match else ""
        if not match or name in OPEN:
            return None
        if viewer is None or not viewer.grants:
            raise Http404
        account = request.token.account if request.token else request.user  # type: ignore[attr-defined]
        if sign_in.held(account):
            return None if name in HELD else _first(request, "held")
        if sign_in.lacks_second_factor(account, viewer):
            return None if name in SETTING_UP else _first(request, "mfa_index")
        return None


def _first(request: HttpRequest, name: str) -> HttpResponse:
    """To the page with what has to be done first; a program is told that there is something."""
    if not request.path.startswith("/api/"):
        return redirect(name)
    body = {"type": "about:blank", "title": "Forbidden", "status": 403}
    body["detail"] = gettext("The account has something to do first: sign in on the pages and see.")
    return JsonResponse(body, status=403, content_type="application/problem+json")
