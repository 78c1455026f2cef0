"""What is asked at nearly every request: a token with its account and roles, somebody's roles, one athlete."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import connection

from athletes.records.asked import Question, Row
from athletes.records.models import Account, ApiToken, Athlete, Role


def _columns(kind: Any, via: str = "") -> tuple[str, ...]:
    return tuple(f"{via}{field.attname}" for field in kind._meta.concrete_fields)


OF_ROLE = ("role", "squad_id", "athlete_id")
READ_IN = ("temperature_unit", "wind_unit", "language", "first_weekday")
TOKEN = ("id", "digest", "scopes", "expires_at", "revoked_at", "last_used_on")
PERSON = "account__person__"

ROLES_OF = Question(
    lambda person_id: (
        Role.objects.filter(person_id=person_id)
        .order_by("id")
        .values_list(*OF_ROLE, *(f"person__{name}" for name in READ_IN))
    ),
    1,
)
ATHLETE_BY = {
    "code": Question(lambda code: Athlete.objects.filter(code=code).values_list(*_columns(Athlete)), "code"),
    "id": Question(lambda key: Athlete.objects.filter(id=key).values_list(*_columns(Athlete)), 1),
}
TOKEN_BY_PREFIX = Question(
    lambda prefix: (
        ApiToken.objects.filter(prefix=prefix)
        .order_by(f"{PERSON}roles__id")
        .values_list(
            *TOKEN,
            *(f"{PERSON}roles__{name}" for name in OF_ROLE),
            *(f"{PERSON}{name}" for name in READ_IN),
            *_columns(Account, "account__"),
        )
    ),
    "prefix",
)
"""A row for each role of the token's person; one where they have none."""


@dataclass(frozen=True)
class TokenRow:
    """A token as it is stored, with its account."""

    id: int
    digest: str
    scopes: list[str]
    expires_at: datetime
    revoked_at: datetime | None
    last_used_on: date | None
    account: Any


def roles(account: Any) -> list[Row]:
    """Role, squad and athlete of each of the account's roles, with what the person reads pages in; no query where
    they came with the token of the same request.
    """
    found: list[Row] | None = getattr(account, "roles_asked", None)
    return ROLES_OF.rows(account.person_id) if found is None else found


def athlete(key: str, value: str | int) -> Athlete | None:
    """The athlete of that code or id."""
    rows = ATHLETE_BY[key].rows(value)
    return Athlete.from_db(connection.alias, _columns(Athlete), rows[0]) if rows else None


def token(prefix: str) -> TokenRow | None:
    """The token with that prefix, whether it stands or not."""
    rows = TOKEN_BY_PREFIX.rows(prefix)
    if not rows:
        return None
    own, to = len(TOKEN), len(TOKEN) + len(OF_ROLE) + len(READ_IN)
    account = Account.from_db(connection.alias, _columns(Account), rows[0][to:])
    account.roles_asked = [row[own:to] for row in rows if row[own] is not None]
    return TokenRow(*rows[0][:own], account)
