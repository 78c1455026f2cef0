"""Whether an account signs in with more than a password, and whether it has to."""

from __future__ import annotations

from typing import Any

from allauth.mfa.models import Authenticator
from django.db.models import Exists, OuterRef

from athletes.records import choices
from athletes.records.models import Account, Role
from athletes.records.viewer import Viewer

FACTORS = (Authenticator.Type.TOTP, Authenticator.Type.WEBAUTHN)
"""Recovery codes stand in for a factor and are none themselves."""


def signed_in(account_id: int) -> Account | None:
    """The account with `second_factor` on it, in one query."""
    factors = Authenticator.objects.filter(user=OuterRef("pk"), type__in=FACTORS)
    found: Account | None = Account.objects.annotate(second_factor=Exists(factors)).filter(pk=account_id).first()
    return found


def has(account: Any) -> bool:
    """The account has a second factor. No query where the account came from `signed_in`."""
    known = getattr(account, "second_factor", None)
    return Authenticator.objects.filter(user=account.pk, type__in=FACTORS).exists() if known is None else bool(known)


def lacking(account: Any, viewer: Viewer) -> bool:
    """It needs one and has none. An invented person of the demo, who exists on this machine only, needs none."""
    return not account.demo and bool(viewer.roles() & set(choices.SECOND_FACTOR_ROLES)) and not has(account)


def needed(account: Any) -> bool:
    """One of the account's roles asks for a second factor."""
    roles = Role.objects.filter(person=account.person_id, role__in=choices.SECOND_FACTOR_ROLES)
    return account.person_id is not None and not account.demo and roles.exists()


def drop(username: str) -> int:
    """Take every factor and code from an account, for whoever lost them all; returns how many there were."""
    return int(Authenticator.objects.filter(user__username=username).delete()[0])
