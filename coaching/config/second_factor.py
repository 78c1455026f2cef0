"""What the library of second factors asks of us: who may drop one, what is said, and how its secrets are kept."""

from __future__ import annotations

import base64
import hashlib
import struct
from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

from allauth.account.adapter import DefaultAccountAdapter, get_adapter
from allauth.account.internal.flows.reauthentication import get_reauthentication_flows
from allauth.core.exceptions import ReauthenticationRequired
from allauth.mfa.adapter import DefaultMFAAdapter
from allauth.mfa.base.forms import AuthenticateForm, ReauthenticateForm
from allauth.mfa.models import Authenticator
from allauth.mfa.webauthn.forms import (
    AddWebAuthnForm,
    AuthenticateWebAuthnForm,
    LoginWebAuthnForm,
    ReauthenticateWebAuthnForm,
)
from cryptography.fernet import Fernet, MultiFernet
from django.conf import settings
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from coaching.config.network import on_loopback
from coaching.usecases import accounts, limits

UNREADABLE = (KeyError, TypeError, ValueError, AttributeError, IndexError, struct.error)
ANY = (Authenticator.Type.TOTP, Authenticator.Type.WEBAUTHN)


class Accounts(DefaultAccountAdapter):  # type: ignore[misc]
    """Nobody signs up, and whoever may not come in is told no more than a wrong password tells."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def get_login_stages(self) -> list[str]:
        return ["allauth.mfa.stages.AuthenticateStage"]

    def pre_login(self, request: HttpRequest, user: Any, **kwargs: Any) -> HttpResponse | None:
        if user.demo and not on_loopback(request):
            return redirect("login")
        found: HttpResponse | None = super().pre_login(request, user, **kwargs)
        return found

    def respond_user_inactive(self, request: HttpRequest, user: Any) -> HttpResponse:
        return redirect("login")

    def is_reauthentication_required(self, *, app: str, **kwargs: Any) -> bool:
        """Whoever came in by a link or a code and has neither password nor factor has nothing to say it with again."""
        user = self.request.user
        has = user.has_usable_password() or bool(get_reauthentication_flows(user))
        return has and bool(super().is_reauthentication_required(app=app, **kwargs))

    def reauthenticate(self, user: Any, password: str) -> bool:
        return bool(user.check_password(password))


class Factors(DefaultMFAAdapter):  # type: ignore[misc]
    """Secrets are encrypted under a key made from the installation's own; former keys still read."""

    error_messages = {
        **DefaultMFAAdapter.error_messages,
        "incorrect_code": _("That is not the code of this moment. Wait for the next one."),
        "unknown_key": _("That passkey is not known here."),
        "cannot_delete_authenticator": _(
            "It stays: your role asks for a second factor, or your password is too short without one."
        ),
    }

    def encrypt(self, text: str) -> str:
        return _box().encrypt(text.encode()).decode()

    def decrypt(self, encrypted_text: str) -> str:
        return _box().decrypt(encrypted_text.encode()).decode()

    def can_delete_authenticator(self, authenticator: Authenticator) -> bool:
        others = Authenticator.objects.filter(user=authenticator.user_id, type__in=ANY).exclude(pk=authenticator.pk)
        return accounts.may_drop_factor(authenticator.user, others.count())

    def _get_site_name(self) -> str:
        return str(settings.MFA_TOTP_ISSUER)

    def generate_authenticator_name(self, user: Any, type: Any) -> str:
        return str(_("This device"))


class _Readable:
    """What a browser sends of a passkey is anybody's to make up; what cannot be read is refused like a wrong one."""

    def _clean_form(self) -> None:
        try:
            super()._clean_form()  # type: ignore[misc]
        except UNREADABLE:
            self.add_error(None, Factors.error_messages["unknown_key"])  # type: ignore[attr-defined]

    def clean_credential(self) -> Any:
        try:
            return super().clean_credential()  # type: ignore[misc]
        except UNREADABLE as error:
            raise ValidationError(Factors.error_messages["unknown_key"], code="incorrect_code") from error


class KeyInForm(_Readable, LoginWebAuthnForm):  # type: ignore[misc]
    """Signing in with a passkey alone."""


class KeyForm(_Readable, AuthenticateWebAuthnForm):  # type: ignore[misc]
    """A passkey as the second step."""


class KeyAgainForm(_Readable, ReauthenticateWebAuthnForm):  # type: ignore[misc]
    """A passkey, before how one signs in is changed."""


class NewKeyForm(_Readable, AddWebAuthnForm):  # type: ignore[misc]
    """Making a passkey."""

    def clean_credential(self) -> Any:
        return self.cleaned_data["credential"]


class AgainMiddleware:
    """Asks who it is once more and leads back by GET. The library's own way would keep the whole request, its cookies
    and what was typed, in the session's row.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        if not isinstance(error, ReauthenticationRequired):
            return None
        ways = get_adapter().get_reauthentication_methods(request.user)
        return redirect(f"{ways[0]['url'] if ways else reverse('login')}?{urlencode({'next': request.path})}")


def _box() -> MultiFernet:
    keys = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    return MultiFernet([Fernet(base64.urlsafe_b64encode(hashlib.sha256(b"second factor" + k.encode()).digest()))
                        for k in keys])  # fmt: skip


class _Once:
    """A code opens once, however many processes are asked at the same moment."""

    user: Any
    cleaned_data: dict[str, Any]

    def clean_code(self) -> str:
        try:
            again = limits.allowed(limits.CODE_ONCE, self.user.pk, self.cleaned_data["code"].strip())
        except limits.StoreAway:
            again = 1
        if again:
            raise ValidationError(Factors.error_messages["incorrect_code"], code="incorrect_code")
        return str(super().clean_code())  # type: ignore[misc]


class CodeForm(_Once, AuthenticateForm):  # type: ignore[misc]
    """The second step of signing in."""


class CodeAgainForm(_Once, ReauthenticateForm):  # type: ignore[misc]
    """The same, for whoever is in and is about to change how."""
