"""Links that are good once: made with a secret that is shown to its maker, kept as a hash, found by their prefix."""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings

from athletes.records.errors import NotFound
from athletes.records.models import OneTimeLink
from athletes.records.passwords import rules

JOIN_FOR, RESET_FOR, CODE_FOR = timedelta(days=7), timedelta(hours=24), timedelta(minutes=10)
TEXT = re.compile(r"([0-9a-f]{12})-([A-Za-z0-9_-]{43})", re.ASCII)
PREFIX_BYTES, SECRET_BYTES = 6, 32
NOBODY = hashlib.sha256(b"").hexdigest()


@dataclass(frozen=True)
class Link:
    """A link that stands: what it is for and, of a new password, for whom."""

    id: int
    kind: str
    name: str
    role: str
    username: str = ""
    least: int = rules.ALONE


def make(kind: str, now: datetime, by: int | None, lasts: timedelta, **about: Any) -> str:
    """The text of a new link, told this once."""
    prefix, secret = secrets.token_hex(PREFIX_BYTES), secrets.token_urlsafe(SECRET_BYTES)
    common = {"prefix": prefix, "digest": _digest(secret), "made_at": now, "expires_at": now + lasts, "made_by_id": by}
    OneTimeLink.objects.create(kind=kind, **common, **about)
    return f"{prefix}-{secret}"


def standing(now: datetime) -> Any:
    """Links that are not used, revoked or past their time."""
    return OneTimeLink.objects.filter(used_at=None, revoked_at=None, expires_at__gt=now)


def find(kind: str, text: str, now: datetime) -> OneTimeLink | None:
    """The row of a link that stands; None alike for one that is unknown, foreign, used, revoked or too old."""
    parts = TEXT.fullmatch(text)
    row = standing(now).filter(kind=kind, prefix=parts[1]).first() if parts else None
    right = hmac.compare_digest(row.digest if row else NOBODY, _digest(parts[2] if parts else ""))
    if row is None or not right or (row.account and not row.account.is_active):
        return None
    found: OneTimeLink = row
    return found


def shown(row: OneTimeLink) -> Link:
    """What its page may tell."""
    name = row.person.name if row.person else row.name
    username = row.account.username if row.account else ""
    return Link(row.pk, row.kind, name, row.role, username, rules.least(row.account))


def use(row: OneTimeLink, now: datetime) -> bool:
    """Mark it used; False where another request was faster. Call it inside the transaction of what it does."""
    return bool(standing(now).filter(pk=row.pk).update(used_at=now) == 1)


def make_code(account_id: int, text: str, now: datetime) -> None:
    """Keep a code of the account; those that stood end."""
    standing(now).filter(kind="code", account_id=account_id).update(revoked_at=now)
    common = {"prefix": secrets.token_hex(PREFIX_BYTES), "digest": _keyed(text), "expires_at": now + CODE_FOR}
    OneTimeLink.objects.create(kind="code", made_at=now, made_by_id=account_id, account_id=account_id, **common)


def use_code(text: str, now: datetime) -> Any:
    """The account of a code that stands; it is used up. Raises NotFound."""
    row = standing(now).filter(kind="code", digest=_keyed(text)).select_related("account").first()
    if row is None or row.account is None or not row.account.is_active or not use(row, now):
        raise NotFound
    return row.account


def _keyed(text: str) -> str:
    """A code is short enough to be guessed from a plain hash; without the installation's key this one tells nothing."""
    return hmac.new(settings.SECRET_KEY.encode(), f"tenpads code {text}".encode(), hashlib.sha256).hexdigest()


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
