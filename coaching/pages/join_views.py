"""Links that let somebody in. The secret leaves the address at once, so that no history, log or referrer keeps it; what
does not stand is not found, whatever the reason.
"""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from athletes.records.errors import BadInput, NotFound
from coaching.pages.code_views import let_in
from coaching.usecases import invitations
from coaching.usecases.invitations import Link
from coaching.wording import people


class Joining(forms.Form):
    username = forms.CharField(max_length=150)
    password = forms.CharField(strip=False, max_length=1000, required=False)


class Resetting(forms.Form):
    password = forms.CharField(strip=False, max_length=1000)


@never_cache
@require_safe
def join_link(request: HttpRequest, token: str) -> HttpResponse:
    return _kept(request, "join", token)


@never_cache
@require_safe
def reset_link(request: HttpRequest, token: str) -> HttpResponse:
    return _kept(request, "reset", token)


def _kept(request: HttpRequest, kind: str, token: str) -> HttpResponse:
    """Keep the secret in the session and lead to the address without it."""
    if invitations.standing(kind, token) is None:
        raise Http404
    request.session[f"link-{kind}"] = token
    answer = redirect(kind)
    answer.headers["Referrer-Policy"] = "no-referrer"
    return answer


def _standing(request: HttpRequest, kind: str) -> tuple[str, Link]:
    text = str(request.session.get(f"link-{kind}", ""))
    link = invitations.standing(kind, text)
    if link is None:
        raise Http404
    return text, link


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def join(request: HttpRequest) -> HttpResponse:
    """Choose a name and a password, and take up the role."""
    text, link = _standing(request, "join")
    form = Joining(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            account = invitations.join(text, form.cleaned_data["username"], form.cleaned_data["password"])
        except BadInput as refused:
            form.add_error(refused.field if refused.field in form.fields else None, refused.problem)
        except NotFound:
            raise Http404 from None
        else:
            if not account.has_usable_password():
                return _in_already(request, account)
            return _done(request, "join", gettext("Your login is made. Sign in with it."))
    shown = {"form": form, "link": link, "role": people.role(link.role), "least": link.least}
    return render(request, "account/join.html", shown, status=422 if request.method == "POST" else 200)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def reset(request: HttpRequest) -> HttpResponse:
    """Set a new password. It signs nobody in and shows nothing."""
    text, link = _standing(request, "reset")
    form = Resetting(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            invitations.reset(text, form.cleaned_data["password"])
        except BadInput as refused:
            form.add_error("password", refused.problem)
        except NotFound:
            raise Http404 from None
        else:
            return _done(request, "reset", gettext("The new password is set. Sign in with it."))
    shown = {"form": form, "link": link, "least": link.least}
    return render(request, "account/reset.html", shown, status=422 if request.method == "POST" else 200)


def _in_already(request: HttpRequest, account: Any) -> HttpResponse:
    """Without a password the link itself lets in, this once; a passkey does from then on."""
    request.session.pop("link-join", None)
    answer = let_in(request, account, "link")
    if request.user.is_authenticated:
        messages.success(request, gettext("You are in on this device. Make a passkey, and you need no password."))
        return redirect("mfa_index")
    return answer


def _done(request: HttpRequest, kind: str, said: str) -> HttpResponse:
    request.session.pop(f"link-{kind}", None)
    messages.success(request, said)
    return redirect("login")
