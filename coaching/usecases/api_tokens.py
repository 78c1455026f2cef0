"""Tokens for other programs."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from athletes.records import choices, tokens
from athletes.records.errors import NotFound
from athletes.records.tokens import Kept
from athletes.records.viewer import Viewer
from coaching.usecases import clock

__all__ = ["DEVICE_SCOPE", "SCOPES", "Kept", "end", "make_own", "make_phones", "make_token", "of", "revoke_token"]
SCOPES = choices.SCOPES
DEVICE_SCOPE = choices.DEVICE_SCOPE
PHONE_DAYS = 366


def make_token(person_code: str, scopes: Collection[str], days: int) -> str:
    """The token's text, which is shown this once. Raises NotFound for a person without a login, and BadInput."""
    return tokens.make(person_code, scopes, days, clock.now())


def revoke_token(prefix: str) -> None:
    """End a token from the next request on. Raises NotFound."""
    tokens.revoke(prefix, clock.now())


def of(account: Any) -> list[Kept]:
    """The account's tokens that stand."""
    return tokens.of(account.pk, clock.now())


def make_phones(account: Any, viewer: Viewer, label: str) -> str:
    """The text of a token for an athlete's phone: it stores what they told of themselves and reads nothing. Raises
    NotFound for whoever is no athlete.
    """
    if viewer.own_athlete_id is None:
        raise NotFound
    return tokens.make_for(account.pk, [DEVICE_SCOPE], PHONE_DAYS, clock.now(), label)


def make_own(account: Any, label: str, scopes: Collection[str], days: int) -> str:
    """The text of a token for another program in the account's name. Raises BadInput."""
    return tokens.make_for(account.pk, scopes, days, clock.now(), label)


def end(account: Any, prefix: str) -> None:
    """End a token of the account. Raises NotFound."""
    tokens.revoke_own(account.pk, prefix, clock.now())
