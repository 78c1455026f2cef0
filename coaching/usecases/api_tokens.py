"""Tokens for other programs."""

from __future__ import annotations

from collections.abc import Collection

from athletes.records import choices, tokens
from coaching.usecases import clock

SCOPES = choices.SCOPES


def make_token(person_code: str, scopes: Collection[str], days: int) -> str:
    """The token's text, which is shown this once. Raises NotFound for a person without a login, and BadInput."""
    return tokens.make(person_code, scopes, days, clock.now())


def revoke_token(prefix: str) -> None:
    """End a token from the next request on. Raises NotFound."""
    tokens.revoke(prefix, clock.now())
