"""Where sessions are kept: found by a hash of the browser's key, each with whose it is and when it began.

This is Django's session engine (`SESSION_ENGINE`) with another table; what it inherits decides when a key is made anew.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.backends import db
from django.utils import timezone

from athletes.records.models import SignedIn

BEGAN, SEEN, BROWSER = "began_s", "seen_s", "browser"


@dataclass(frozen=True)
class Stay:
    """How long a session lasts: so long without a request, and so long at most."""

    idle: timedelta
    most: timedelta


def digest(key: str | None) -> str:
    """What a session is stored under. A plain hash is enough for a key of 160 random bits."""
    return hashlib.sha256(f"tenpads session {key}".encode()).hexdigest()


class SessionStore(db.SessionStore):
    """Django's database sessions over `SignedIn`, under the hash of their key."""

    @classmethod
    def get_model_class(cls) -> Any:
        return SignedIn

    def _get_session_from_db(self) -> Any:
        stands = {"session_key": digest(self.session_key), "expire_date__gt": timezone.now()}
        try:
            return self.model.objects.get(**stands)
        except self.model.DoesNotExist:
            self._session_key = None
            return None

    def exists(self, session_key: str | None) -> bool:
        return bool(self.model.objects.filter(session_key=digest(session_key)).exists())

    def create_model_instance(self, data: Mapping[str, Any]) -> Any:
        owner = data.get(SESSION_KEY)
        return self.model(
            session_key=digest(self._get_or_create_session_key()),
            session_data=self.encode(dict(data)),
            expire_date=self.get_expiry_date(),
            account_id=int(owner) if owner else None,
            began_at=_at(data.get(BEGAN)),
            seen_at=_at(data.get(SEEN)),
            browser=str(data.get(BROWSER, ""))[:60],
        )

    def delete(self, session_key: str | None = None) -> None:
        key = session_key if session_key is not None else self.session_key
        if key is not None:
            self.model.objects.filter(session_key=digest(key)).delete()


def _at(seconds: float | None) -> datetime | None:
    return None if seconds is None else datetime.fromtimestamp(seconds, UTC)


def begin(data: Any, now: datetime, browser: str) -> None:
    """Note in a session when it began and in what it runs."""
    data[BEGAN] = data[SEEN] = int(now.timestamp())
    data[BROWSER] = browser


def over(data: Mapping[str, Any], now: datetime, stay: Stay) -> bool:
    """It began or was last used too long ago. One that does not say when it began is over."""
    began, seen = _at(data.get(BEGAN)), _at(data.get(SEEN))
    return began is None or seen is None or now - began >= stay.most or now - seen >= stay.idle


def seen(data: Any, now: datetime, every: timedelta) -> None:
    """Note that it is still used, at most so often: each note is a write."""
    if now.timestamp() - data.get(SEEN, 0) >= every.total_seconds():
        data[SEEN] = int(now.timestamp())


@dataclass(frozen=True)
class Session:
    """One session as its owner sees it; `id` names it on their page and opens nothing."""

    id: str
    began_at: datetime | None
    seen_at: datetime | None
    browser: str
    this: bool


def of(account_id: int, key: str | None, now: datetime) -> list[Session]:
    """The sessions of an account that stand, newest first; `key` is that of the request."""
    rows = SignedIn.objects.filter(account_id=account_id, expire_date__gt=now).order_by("-seen_at", "session_key")
    own = digest(key)
    return [Session(r.session_key, r.began_at, r.seen_at, r.browser, r.session_key == own) for r in rows]


def end(account_id: int, *, only: str | None = None, but: str | None = None) -> int:
    """End an account's sessions: the one of that id, or all but the one with that key. Returns how many ended."""
    rows = SignedIn.objects.filter(account_id=account_id)
    rows = rows.filter(session_key=only) if only is not None else rows
    rows = rows.exclude(session_key=digest(but)) if but is not None else rows
    return int(rows.delete()[0])
