"""Who a signed-in account is."""

from __future__ import annotations

from typing import Any

from athletes.records import access, tokens
from athletes.records.tokens import Holder
from athletes.records.viewer import Viewer
from coaching.usecases import clock


def by_token(text: str) -> Holder | None:
    """Who holds a token, and what it may be used for; None where it does not stand."""
    return tokens.holder(text, clock.now())


def viewer(account: Any) -> Viewer:
    """The account's roles on today's date (UTC)."""
    return access.viewer_for(account, clock.now().date())
