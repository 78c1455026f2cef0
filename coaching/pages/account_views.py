"""One's own account: sessions, password, and what is to do before anything else."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from athletes.records.errors import BadInput, NotFound
from coaching.pages.own import signed_in
from coaching.pages.reading_form import LanguageForm
from coaching.usecases import accounts, api_tokens, invitations, reading
from coaching.wording import people

DEVICES = {"phone": _("phone"), "tablet": _("tablet"), "computer": _("computer")}


@signed_in
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def account(request: HttpRequest) -> HttpResponse:
    """How one signs in, where one is signed in, and what one reads in; a POST ends sessions or changes the last."""
    if request.method == "POST":
        return _read_in(request) if request.POST.get("action") == "reading" else _ended(request)
    found = accounts.sessions_of(request.user, request.session.session_key)
    viewer = request.viewer  # type: ignore[attr-defined]
    shown = {
        "sessions": [(s, DEVICES.get(s.browser, DEVICES["computer"])) for s in found],
        "others": len(found) > 1,
        "roles": people.role_list(viewer.roles()),
        "tokens": len(api_tokens.of(request.user)),
        "second": request.user.second_factor,  # type: ignore[union-attr]
        "lets_in": invitations.lets_in(viewer),
        "reading": LanguageForm.of(viewer),
    }
    return render(request, "account/account.html", shown)


def _read_in(request: HttpRequest) -> HttpResponse:
    form = LanguageForm(request.POST)
    if not form.is_valid():
        raise Http404
    viewer = request.viewer  # type: ignore[attr-defined]
    reading.choose(viewer, form.cleaned_data["language"], form.cleaned_data["first_weekday"])
    return redirect("account")


def _ended(request: HttpRequest) -> HttpResponse:
    key = request.session.session_key
    if request.POST.get("action") == "end-others":
        n = accounts.end_other_sessions(request.user, key)
        messages.success(request, ngettext("%d other session ended.", "%d other sessions ended.", n) % n)
        return redirect("account")
    try:
        accounts.end_session(request.user, request.POST.get("session", ""))
    except NotFound:
        raise Http404 from None
    messages.success(request, gettext("The session is ended."))
    return redirect("account")


class NewPassword(forms.Form):
    old = forms.CharField(strip=False, max_length=256)
    new = forms.CharField(strip=False, max_length=1000)


@signed_in
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def password(request: HttpRequest) -> HttpResponse:
    """Change the password; all other sessions end."""
    form = NewPassword(request.POST or None)
    if request.method == "POST" and form.is_valid() and _changed(request, form):
        messages.success(request, gettext("The password is changed, and every other session is ended."))
        return redirect("account")
    shown = {"form": form, "least": accounts.least_password(request.user)}
    return render(request, "account/password.html", shown, status=422 if request.method == "POST" else 200)


def _changed(request: HttpRequest, form: NewPassword) -> bool:
    if not request.user.check_password(form.cleaned_data["old"]):
        form.add_error("old", gettext("That is not the password of now."))
        return False
    try:
        accounts.change_password(request.user, form.cleaned_data["new"], request.session.session_key)
    except BadInput as refused:
        form.add_error("new", refused.problem)
        return False
    update_session_auth_hash(request, request.user)  # type: ignore[arg-type]
    return True


@signed_in
@never_cache
@require_safe
def held(request: HttpRequest) -> HttpResponse:
    """Somebody has to vouch first; whoever need not is led on."""
    if request.user.vouch_needed_since is None:  # type: ignore[union-attr]
        return redirect("front")
    return render(request, "account/held.html")
