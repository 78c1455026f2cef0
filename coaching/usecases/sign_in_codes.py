"""Codes with which somebody who is in on one device comes in on another: eight letters, ten minutes, good once.

A code stands in for a password and for nothing else: whoever has a second factor is still asked for it.
"""

from __future__ import annotations

import secrets
from typing import Any

from athletes.records import links
from athletes.records.errors import NotFound
from coaching.usecases import clock

LETTERS = "ABCDEFGHJKMNPQRSTVWXYZ23456789"
"""Without those that are taken for one another. Eight are 39 bits, and tries are counted before one is looked up."""
LENGTH = 8


def make(account: Any) -> str:
    """A new code of the account, told this once; those before it end."""
    text = "".join(secrets.choice(LETTERS) for _ in range(LENGTH))
    links.make_code(account.pk, text, clock.now())
    return f"{text[:4]} {text[4:]}"


def redeem(typed: str) -> Any:
    """The account of a code that stands, which is used up with this. Raises NotFound alike for any other text."""
    text = "".join(letter for letter in typed.upper()[:40] if letter.isalnum())
    if len(text) != LENGTH or set(text) - set(LETTERS):
        raise NotFound
    return links.use_code(text, clock.now())
