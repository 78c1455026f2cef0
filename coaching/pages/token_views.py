"""Tokens: a phone that sends what its owner told of themselves, and other programs that act in one's name."""

from __future__ import annotations

from allauth.account.decorators import reauthentication_required
from allauth.account.internal.flows.reauthentication import is_reauthentication_required
from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.records.errors import BadInput, NotFound
from coaching.pages.own import signed_in
from coaching.usecases import api_tokens

SCOPES = {
    "read": _("read what you may see"),
    "checkins": _("send check-ins"),
    "write": _("store and change other facts"),
    "decide": _("answer decisions"),
    api_tokens.DEVICE_SCOPE: _("send what you told of yourself, read nothing"),
}
OFFERED = [(code, SCOPES[code]) for code in api_tokens.SCOPES]


class Phone(forms.Form):
    label = forms.CharField(max_length=60)


class Program(forms.Form):
    label = forms.CharField(max_length=60)
    scopes = forms.MultipleChoiceField(choices=OFFERED)
    days = forms.IntegerField(min_value=1, max_value=366, initial=90)


@signed_in
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def tokens(request: HttpRequest) -> HttpResponse:
    """See, make and end tokens; the text of a new one is shown in this one answer."""
    action = request.POST.get("action")
    if action == "end":
        return _ended(request)
    if action == "phone":
        return _phone(request)
    if action == "program":
        made: HttpResponse = _program(request)
        return made
    return _page(request)


def _ended(request: HttpRequest) -> HttpResponse:
    try:
        api_tokens.end(request.user, request.POST.get("prefix", ""))
    except NotFound:
        raise Http404 from None
    messages.success(request, gettext("The token is ended, from the next request on."))
    return redirect("tokens")


def _phone(request: HttpRequest) -> HttpResponse:
    form = Phone(request.POST)
    if not form.is_valid():
        return _page(request, phone=form, status=422)
    try:
        text = api_tokens.make_phones(request.user, request.viewer, form.cleaned_data["label"])  # type: ignore[attr-defined]
    except NotFound:
        raise Http404 from None
    return _page(request, made=text)


@reauthentication_required
def _program(request: HttpRequest) -> HttpResponse:
    form = Program(request.POST)
    if not form.is_valid():
        return _page(request, program=form, status=422)
    said = form.cleaned_data
    try:
        text = api_tokens.make_own(request.user, said["label"], said["scopes"], said["days"])
    except BadInput as refused:
        form.add_error(None, refused.problem)
        return _page(request, program=form, status=422)
    return _page(request, made=text)


def _page(
    request: HttpRequest, made: str = "", phone: Phone | None = None, program: Program | None = None, status: int = 200
) -> HttpResponse:
    viewer = request.viewer  # type: ignore[attr-defined]
    shown = {
        "made": made,
        "tokens": [(t, [SCOPES.get(code, code) for code in t.scopes]) for t in api_tokens.of(request.user)],
        "athlete": viewer.own_athlete_id is not None,
        "phone": phone or Phone(),
        "program": program or Program(),
        "offered": OFFERED,
        "again": is_reauthentication_required(request, app=""),
    }
    return render(request, "account/tokens.html", shown, status=status)
