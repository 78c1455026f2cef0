"""Coming in on another device: the page that makes a code, and the one that takes it."""

from __future__ import annotations

from allauth.account.decorators import reauthentication_required
from allauth.account.internal.flows.login import perform_login, record_authentication
from allauth.account.models import Login
from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.records.errors import NotFound
from coaching.pages.own import signed_in
from coaching.usecases import sign_in_codes


class Code(forms.Form):
    code = forms.CharField(max_length=40)


@signed_in
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in_code(request: HttpRequest) -> HttpResponse:
    """A code for another device; it is shown in this one answer."""
    if request.method == "POST":
        made: HttpResponse = _made(request)
        return made
    return render(request, "account/sign_in_code.html", {"made": ""})


@reauthentication_required
def _made(request: HttpRequest) -> HttpResponse:
    return render(request, "account/sign_in_code.html", {"made": sign_in_codes.make(request.user)})


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def login_code(request: HttpRequest) -> HttpResponse:
    """Come in with a code, and on to the second factor where there is one."""
    if request.user.is_authenticated:
        return redirect("front")
    form = Code(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            return let_in(request, sign_in_codes.redeem(form.cleaned_data["code"]), "code")
        except NotFound:
            said = gettext("That code does not open anything. It is good once and for ten minutes; make a new one.")
            form.add_error("code", said)
    return render(request, "account/login_code.html", {"form": form}, status=422 if request.method == "POST" else 200)


def let_in(request: HttpRequest, account: object, by: str) -> HttpResponse:
    """What the password does, by another way; the library asks for whatever comes after it."""
    record_authentication(request, account, method=by)  # type: ignore[arg-type]
    answer: HttpResponse = perform_login(request, Login(user=account))
    return answer
