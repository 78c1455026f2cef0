"""Tries counted at the door, after the form's token was looked at and before anything is looked up, hashed or told."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from allauth.account.internal.stagekit import unstash_login
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.translation import gettext

from coaching.config.network import network, on_loopback
from coaching.usecases import api_tokens, limits
from coaching.usecases.limits import Limit

Asked = tuple[Limit, str]
SECRETS = frozenset({
    "account_reauthenticate", "mfa_reauthenticate", "mfa_reauthenticate_webauthn", "mfa_activate_totp",
    "mfa_add_webauthn", "account-password",
})  # fmt: skip
LINKS = frozenset({"join-link", "join", "reset-link", "reset"})
INVITING = frozenset({"people", "tokens", "phone", "calendar", "sign-in-code", "reminders"})
EXPORTING = frozenset({"own-export", "own-record"})
"""Names of addresses that hand out a copy of somebody's records."""


def asked(request: HttpRequest) -> Iterator[Asked]:
    """What this request counts as a try of."""
    name = request.resolver_match.view_name if request.resolver_match else ""
    token = request.token  # type: ignore[attr-defined]
    if token and api_tokens.DEVICE_SCOPE in token.scopes:
        yield limits.DEVICE, token.prefix
    if name == "calendar-link":
        yield limits.FEED, str(request.resolver_match.kwargs["token"])  # type: ignore[union-attr]
    if name in EXPORTING:
        yield limits.EXPORT, str(request.user.pk)
    if request.method != "POST":
        return
    if name == "login" and request.POST.get("action") != "sign-out":
        yield from _signing_in(request, request.POST.get("username", "").strip().casefold()[:150])
    elif name == "mfa_authenticate":
        login = unstash_login(request, peek=True)
        yield from _signing_in(request, f"#{login.user.pk}" if login and login.user else "")
    elif name == "mfa_login_webauthn":
        yield limits.SIGN_IN_NETWORK, network(request)  # it names no account, so this machine is counted as well
    elif name == "login-code":
        yield from _of_network(request, limits.LINK)
        yield limits.CODE, ""  # it names no account: however many networks try, all of them together are counted
    elif name in SECRETS:
        yield from _signing_in(request, f"#{request.user.pk}")
    elif name in LINKS:
        yield from _of_network(request, limits.LINK)
    elif name in INVITING:
        yield limits.INVITE, str(request.user.pk)


def _signing_in(request: HttpRequest, account: str) -> Iterator[Asked]:
    yield limits.SIGN_IN, f"{account} {network(request)}"
    yield limits.SIGN_IN_ACCOUNT, account
    yield from _of_network(request, limits.SIGN_IN_NETWORK)


def _of_network(request: HttpRequest, limit: Limit) -> Iterator[Asked]:
    """This machine itself is nobody's network."""
    if limit is limits.LINK or not on_loopback(request):
        yield limit, network(request)


class LimitMiddleware:
    """Turns away what was tried too often, and what cannot be counted while the counts are away. A try that one limit
    turns away is not counted by the next: whoever hammers from one network uses up no tries of the account elsewhere.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, *args: object) -> HttpResponse | None:
        try:
            for limit, of in asked(request):
                if wait_s := limits.allowed(limit, of):
                    return _told(request, 429, wait_s)
        except limits.StoreAway:
            return _told(request, 503, 30)
        return None


def _told(request: HttpRequest, status: int, wait_s: int) -> HttpResponse:
    if request.path.startswith("/api/"):
        said = gettext("Too much at once. Wait and send it again.")
        title = "Too Many Requests" if status == 429 else "Service Unavailable"
        body = {"type": "about:blank", "title": title, "status": status, "detail": said}
        answer: HttpResponse = JsonResponse(body, status=status, content_type="application/problem+json")
    else:
        answer = render(request, "wait.html", {"status": status, "minutes": -(-wait_s // 60)}, status=status)
    answer.headers["Retry-After"] = str(wait_s)
    answer.headers["Cache-Control"] = "no-store"
    return answer
