"""Logins of a squad, or of a guardian's wards: who has one, invite, a link for a new password, and vouch."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.records.errors import BadInput, NotFound
from coaching.pages.own import signed_in
from coaching.usecases import invitations
from coaching.wording import people as words


@signed_in
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def people(request: HttpRequest) -> HttpResponse:
    """Names and logins, and nothing of anybody's records. A new link is shown in this one answer."""
    try:
        return _answered(request) if request.method == "POST" else _page(request)
    except NotFound:
        raise Http404 from None


def _answered(request: HttpRequest) -> HttpResponse:
    viewer, sent = request.viewer, request.POST  # type: ignore[attr-defined]
    action, _, key = sent.get("act", "").partition(" ")
    if action == "invite":
        return _invited(request, key)
    if action == "reset":
        return _page(request, made=_address(request, "reset-link", invitations.reset_link(viewer, key)), kind="reset")
    if action == "vouch":
        invitations.vouch(viewer, key)
        messages.success(request, gettext("Noted. The login is open again."))
        return redirect("people")
    if action == "revoke" and key.isdecimal():
        invitations.revoke(viewer, int(key))
        messages.success(request, gettext("The invitation is ended."))
        return redirect("people")
    raise NotFound


def _invited(request: HttpRequest, key: str) -> HttpResponse:
    """An athlete by the button beside their name, staff and guardians by a form."""
    sent = request.POST
    squad = int(sent["squad"]) if sent.get("squad", "").isdecimal() else None
    role = "athlete" if key else sent.get("role", "")
    about = (role, sent.get("name", ""), key or sent.get("key", ""), squad)
    try:
        text = invitations.invite(request.viewer, *about)  # type: ignore[attr-defined]
    except BadInput as refused:
        return _page(request, wrong=refused.problem, status=422)
    return _page(request, made=_address(request, "join-link", text), kind="join")


def _address(request: HttpRequest, name: str, text: str) -> str:
    return request.build_absolute_uri(reverse(name, args=[text]))


def _page(request: HttpRequest, made: str = "", kind: str = "", wrong: str = "", status: int = 200) -> HttpResponse:
    found = invitations.people(request.viewer)  # type: ignore[attr-defined]
    own = request.viewer.account_id  # type: ignore[attr-defined]
    shown = {
        "made": made,
        "kind": kind,
        "wrong": wrong,
        "known": [(k, words.role_list(k.roles), k.account_id == own) for k in found.known],
        "open": [(o, words.role(o.role)) for o in found.open],
        "squads": found.squads,
        "staff": [(code, words.role(code)) for code in (*invitations.STAFF[1:], *invitations.STAFF[:1])],
        "minors": [k for k in found.known if k.minor and k.squad_id],
    }
    return render(request, "account/people.html", shown, status=status)
