"""Tokens of other programs: made once, kept as a hash, found by their prefix."""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.utils.translation import gettext

from athletes.records import choices, often
from athletes.records.errors import BadInput, NotFound
from athletes.records.models import Account, ApiToken

LONGEST_DAYS = 366
TOKEN = re.compile(r"tp_([0-9a-f]{12})_([A-Za-z0-9_-]{43})", re.ASCII)
PREFIX_BYTES, SECRET_BYTES = 6, 32
NOBODY = hashlib.sha256(b"").hexdigest()
"""Compared with where no row has the prefix, so that a wrong prefix takes as long as a wrong secret."""


@dataclass(frozen=True)
class Holder:
    """Whose token it is and what it may be used for."""

    account: Any
    scopes: frozenset[str]
    prefix: str = ""


@dataclass(frozen=True)
class Kept:
    """A token as its owner sees it afterwards: never its secret."""

    prefix: str
    label: str
    scopes: tuple[str, ...]
    made_at: datetime
    expires_at: datetime
    last_used_on: date | None


def make(person_code: str, scopes: Collection[str], days: int, now: datetime) -> str:
    """The text of a new token, which is shown this once. Raises NotFound for a person without a login, BadInput
    naming `scope` or `days`.
    """
    _checked(scopes, days)
    account = Account.objects.filter(person__code=person_code, is_active=True).first()
    if account is None:
        raise NotFound
    return make_for(account.pk, scopes, days, now)


def make_for(account_id: int, scopes: Collection[str], days: int, now: datetime, label: str = "") -> str:
    """The same for an account, with a name that its owner knows it by; `own-checkins` stands alone: it is a phone's."""
    if set(scopes) != {choices.DEVICE_SCOPE}:
        _checked(scopes, days)
    prefix, secret = secrets.token_hex(PREFIX_BYTES), secrets.token_urlsafe(SECRET_BYTES)
    ApiToken.objects.create(
        account_id=account_id,
        label=label[:60],
        prefix=prefix,
        digest=_digest(secret),
        scopes=sorted(set(scopes)),
        made_at=now,
        expires_at=now + timedelta(days=days),
    )
    return f"tp_{prefix}_{secret}"


def _checked(scopes: Collection[str], days: int) -> None:
    if not scopes or (unknown := sorted(set(scopes) - set(choices.SCOPES))):
        raise BadInput("scope", gettext("is not one of the scopes"), unknown if scopes else None, _listed())
    if not 1 <= days <= LONGEST_DAYS:
        raise BadInput("days", gettext("is outside 1 to {most}").format(most=LONGEST_DAYS), days)


def of(account_id: int, now: datetime) -> list[Kept]:
    """The account's tokens that stand, the newest first."""
    rows = ApiToken.objects.filter(account_id=account_id, revoked_at=None, expires_at__gt=now)
    told = ("prefix", "label", "scopes", "made_at", "expires_at", "last_used_on")
    return [Kept(*row[:2], tuple(row[2]), *row[3:]) for row in rows.order_by("-made_at", "-id").values_list(*told)]


def revoke_own(account_id: int, prefix: str, now: datetime) -> None:
    """End a token of the account from the next request on. Raises NotFound."""
    if not ApiToken.objects.filter(account_id=account_id, prefix=prefix, revoked_at=None).update(revoked_at=now):
        raise NotFound


def revoke(prefix: str, now: datetime) -> None:
    """End a token from the next request on; `prefix` with or without `tp_`. Raises NotFound."""
    rows = ApiToken.objects.filter(prefix=prefix.removeprefix("tp_").split("_")[0])
    if not rows.exists():
        raise NotFound
    rows.filter(revoked_at=None).update(revoked_at=now)


def holder(text: str, now: datetime) -> Holder | None:
    """The holder of a token that stands; None for any other text. One query, and one write on the day's first use."""
    parts = TOKEN.fullmatch(text)
    if parts is None:
        return None
    row = often.token(parts[1])
    right = hmac.compare_digest(row.digest if row else NOBODY, _digest(parts[2]))
    if row is None or not right or row.revoked_at or row.expires_at <= now or not row.account.is_active:
        return None
    if row.last_used_on != now.date():
        ApiToken.objects.filter(pk=row.id).update(last_used_on=now.date())
    return Holder(row.account, frozenset(row.scopes), parts[1])


def _digest(secret: str) -> str:
    """SHA-256 is enough: a random secret of 256 bits cannot be guessed, however fast the hash."""
    return hashlib.sha256(secret.encode()).hexdigest()


def _listed() -> str:
    return ", ".join(choices.SCOPES)
