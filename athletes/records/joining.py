"""Who may be let in by whom, and what a link does once it is used."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from athletes.records import feeds, links, row_scope, second_factor, sessions
from athletes.records.errors import BadInput, NotFound
from athletes.records.models import (
    Account,
    ApiToken,
    Care,
    CheckIn,
    Damage,
    OneTimeLink,
    Person,
    PushAddress,
    Role,
    Session,
)
from athletes.records.passwords import rules

VOUCHED = ("guardian", "medical")
"""Roles that read what is not shared with whoever invites into them."""
SQUAD_ROLES = ("head-coach", "assistant", "medical", "manager")
OVER_ATHLETES = ("athlete", "guardian")
LONGEST_NAME = 150


@dataclass(frozen=True)
class Invited:
    """Whom a link is for: a role in a squad, or over one athlete of it."""

    name: str
    role: str
    squad_id: int | None
    athlete_id: int | None = None
    person_id: int | None = None


def invite(whom: Invited, by: int | None, now: datetime) -> str:
    """The text of a link with which somebody takes up the role. Raises BadInput naming `name` or `athlete`."""
    if not whom.name.strip() or len(whom.name) > 200:
        raise BadInput("name", gettext("is missing or too long"), whom.name)
    if whom.role in OVER_ATHLETES and whom.athlete_id is None:
        raise BadInput("athlete", gettext("is missing"))
    if whom.role == "athlete" and _taken(whom.athlete_id):
        raise BadInput("athlete", gettext("has a login already"))
    about = {"name": whom.name.strip(), "role": whom.role, "squad_id": whom.squad_id, "athlete_id": whom.athlete_id}
    return links.make("join", now, by, links.JOIN_FOR, person_id=whom.person_id, **about)


def _taken(athlete_id: int | None) -> bool:
    return Role.objects.filter(role="athlete", athlete_id=athlete_id, person__account__isnull=False).exists()


def join(row: OneTimeLink, username: str, password: str, now: datetime) -> Account:
    """The new account. Where whoever made the link could read with it what is not shared with them, a second person has
    to vouch first. An athlete may do without a password. Raises BadInput naming `username` or `password`, and NotFound
    where the link is used by now.
    """
    username = username.strip()
    with transaction.atomic():
        if not links.use(row, now) or (row.role == "athlete" and _taken(row.athlete_id)):
            raise NotFound
        person = row.person or Person.objects.create(code=f"p-{secrets.token_hex(5)}", name=row.name)
        if Account.objects.filter(person=person).exists():
            raise NotFound
        has = {"person": person, "role": row.role, "athlete_id": row.athlete_id}
        if row.athlete_id is None or not Role.objects.filter(**has).exists():
            Role.objects.get_or_create(squad_id=row.squad_id, **has)
        account = Account(username=checked_name(username), person=person)
        if password or row.role != "athlete":
            set_password(account, password)
        else:
            account.set_unusable_password()
        if row.made_by_id is not None and (row.role in VOUCHED or _told(row.athlete_id)):
            account.vouch_needed_since, account.vouch_of_id = now, row.made_by_id
        account.save()
        return account


def _told(athlete_id: int | None) -> bool:
    """There are records of the athlete by now."""
    kinds = (CheckIn, Damage, Care, Session)
    with row_scope.everybody():  # nobody is signed in yet, and nothing of it is shown
        return athlete_id is not None and any(kind.objects.filter(athlete_id=athlete_id).exists() for kind in kinds)


def checked_name(username: str) -> str:
    """The name to sign in with. Raises BadInput."""
    if not username or len(username) > LONGEST_NAME:
        raise BadInput("username", gettext("is missing or too long"), username)
    try:
        Account.username_validator(username)
    except ValidationError as error:
        raise BadInput("username", gettext("takes letters, digits and @ . + - _"), username) from error
    if Account.objects.filter(username__iexact=username).exists():
        raise BadInput("username", gettext("is taken"), username)
    return username


def set_password(account: Account, password: str) -> None:
    """Set it on the row, unsaved. Raises BadInput naming `password`."""
    try:
        validate_password(password, account)
    except ValidationError as error:
        raise BadInput("password", " ".join(error.messages)) from error
    account.set_password(password)
    account.short_password = len(password) < rules.ALONE


def reset(row: OneTimeLink, password: str, now: datetime) -> Account:
    """Set a new password and end every session and token. The second factor stays as it is.

    Where somebody else made the link and no second factor stands behind the password, whoever has the link could be
    anybody: nothing is read with the account until a second person says that it is who it should be. Raises BadInput
    naming `password`, and NotFound where the link is used by now.
    """
    with transaction.atomic():
        if row.account is None or not links.use(row, now):
            raise NotFound
        account = Account.objects.select_for_update().get(pk=row.account_id)
        set_password(account, password)
        if row.made_by_id is not None and not second_factor.has(account):
            account.vouch_needed_since, account.vouch_of_id = now, row.made_by_id
        account.save()
        links.standing(now).filter(account=account).update(revoked_at=now)
        end_everything(account.pk, now)
        return account


def end_everything(account_id: int, now: datetime) -> None:
    """End all sessions, tokens, calendars and messages of an account."""
    sessions.end(account_id)
    feeds.end_all(account_id)
    PushAddress.objects.filter(account_id=account_id).delete()
    ApiToken.objects.filter(account_id=account_id, revoked_at=None).update(revoked_at=now)


def change_password(account: Any, password: str, key: str | None) -> None:
    """Set a new password and end every session but the one with the key. Raises BadInput naming `password`."""
    row = Account.objects.get(pk=account.pk)
    set_password(row, password)
    with transaction.atomic():
        row.save(update_fields=["password", "short_password"])
        sessions.end(row.pk, but=key)
    account.password = row.password


def close(username: str, now: datetime) -> None:
    """Close an account at once: nobody signs in with it, and who is in is out. Raises NotFound."""
    with transaction.atomic():
        account = Account.objects.filter(username=username).first()
        if account is None:
            raise NotFound
        Account.objects.filter(pk=account.pk).update(is_active=False)
        end_everything(account.pk, now)


def vouch(account_id: int, by: int | None) -> bool:
    """A second person says that it is who it should be; whoever made the link cannot. True where that helped."""
    held = Account.objects.filter(pk=account_id, vouch_needed_since__isnull=False)
    if by is not None:
        held = held.exclude(vouch_of_id=by).exclude(pk=by)
    return bool(held.update(vouch_needed_since=None, vouch_of=None) == 1)
