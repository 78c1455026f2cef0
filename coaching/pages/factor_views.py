"""The second factor: set it up, sign in with it, take it away. The library does the work; pages and rules are ours."""

from __future__ import annotations

import json
from typing import Any

from allauth.account.views import _reauthenticate as again
from allauth.mfa.base import views as base
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes import views as codes
from allauth.mfa.totp import views as totp
from allauth.mfa.webauthn import views as webauthn
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.decorators import method_decorator
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from coaching.usecases import accounts


class Refusing:
    """A form that was not taken comes back with a status that says so; what a script needs stands in an attribute."""

    def form_invalid(self, form: Any) -> HttpResponse:
        answer: HttpResponse = super().form_invalid(form)  # type: ignore[misc]
        if answer.status_code == 200:
            answer.status_code = 422
        return answer

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        found: dict[str, Any] = super().get_context_data(**kwargs)  # type: ignore[misc]
        if "js_data" in found:
            found["options"] = json.dumps(next(iter(found["js_data"].values())))
        return found


@method_decorator(never_cache, name="dispatch")
class Code(Refusing, base.AuthenticateView):  # type: ignore[misc]
    """The second step of signing in: a code, or a passkey."""

    template_name = "account/code.html"


@method_decorator(never_cache, name="dispatch")
class PasskeyIn(webauthn.LoginWebAuthnView):  # type: ignore[misc]
    """Sign in with a passkey alone; a GET that asks for JSON is told what to sign."""

    def form_invalid(self, form: Any) -> HttpResponse:
        messages.error(self.request, gettext("That passkey is not known here."))
        return redirect("login")


class Factors(base.IndexView):  # type: ignore[misc]
    """What there is, and what may be added."""

    template_name = "account/factors.html"

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        found: dict[str, Any] = super().get_context_data(**kwargs)
        rows = found["authenticators"]
        found["app"], found["codes"] = rows.get("totp"), rows.get("recovery_codes")
        found["passkeys"] = rows.get("webauthn", [])
        found["left"] = len(found["codes"].get_unused_codes()) if found["codes"] else 0
        found["due"] = not (found["app"] or found["passkeys"]) and not accounts.may_drop_factor(self.request.user, 0)
        return found


class AddApp(Refusing, totp.ActivateTOTPView):  # type: ignore[misc]
    """Show the secret once, take the first code."""

    template_name = "account/app.html"


class RemoveApp(Refusing, totp.DeactivateTOTPView):  # type: ignore[misc]
    """Take the app away, where the account may be without it."""

    template_name = "account/remove.html"
    extra_context = {"what": "app"}


class Codes(codes.ViewRecoveryCodesView):  # type: ignore[misc]
    """The recovery codes, shown once."""

    template_name = "account/codes.html"


class NewCodes(Refusing, codes.GenerateRecoveryCodesView):  # type: ignore[misc]
    """New recovery codes for the old."""

    template_name = "account/new_codes.html"


class AddPasskey(Refusing, webauthn.AddWebAuthnView):  # type: ignore[misc]
    """Make a passkey; this needs a script, and the page says so where there is none."""

    template_name = "account/passkey.html"


@require_safe
def passkeys(request: HttpRequest) -> HttpResponse:
    """They stand on the page of all factors."""
    return redirect("mfa_index")


class RemovePasskey(Refusing, webauthn.RemoveWebAuthnView):  # type: ignore[misc]
    """Take a passkey away, where the account may be without it."""

    template_name = "account/remove.html"
    extra_context = {"what": "passkey"}

    def form_valid(self, form: Any) -> HttpResponse:
        row = self.get_object()
        others = Authenticator.objects.filter(user=row.user_id, type__in=("totp", "webauthn")).exclude(pk=row.pk)
        if accounts.may_drop_factor(row.user, others.count()):
            answer: HttpResponse = super().form_valid(form)
            return answer
        said = gettext("It stays: your role asks for a second factor, or your password is too short without one.")
        messages.error(self.request, said)
        return redirect("mfa_index")


class Again(Refusing, again.ReauthenticateView):  # type: ignore[misc]
    """The password once more, before how one signs in is changed."""

    template_name = "account/again.html"
    extra_context = {"by": "password"}


class AgainByCode(Refusing, base.ReauthenticateView):  # type: ignore[misc]
    """The same by a code."""

    template_name = "account/again.html"
    extra_context = {"by": "code"}


class AgainByPasskey(Refusing, webauthn.ReauthenticateWebAuthnView):  # type: ignore[misc]
    """The same by a passkey."""

    template_name = "account/again.html"
    extra_context = {"by": "passkey"}
