"""Logins for people who are in the records, and what an account's owner or the operator does with one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from athletes.records import joining, logins, second_factor, sessions
from athletes.records.errors import NotFound
from athletes.records.passwords import rules
from athletes.records.sessions import Session
from coaching.usecases import clock, invitations

DEMO_PASSWORD = "skin that holds"  # noqa: S105 - good on this machine's loopback only, and for invented people only


@dataclass(frozen=True)
class Login:
    username: str
    role: str
    name: str


def make_demo_logins() -> tuple[Login, ...]:
    """One login for every person of the demo; those that stand are left alone."""
    logins.make_demo(DEMO_PASSWORD)
    return demo_logins()


def demo_logins() -> tuple[Login, ...]:
    """The demo logins there are, coaches before athletes; empty in an installation with real people."""
    return tuple(Login(*row) for row in logins.demo())


def add_login(person_code: str, username: str, password: str) -> None:
    """A login for a person. Raises NotFound for an unknown code, BadInput for a bad password or taken name."""
    logins.add(person_code, username, password)


def least_password(account: Any) -> int:
    """How many characters a password of the account needs."""
    return rules.least(account)


def change_password(account: Any, password: str, key: str | None) -> None:
    """Set a new password; every session ends but the one with the key. Raises BadInput."""
    joining.change_password(account, password, key)


def sessions_of(account: Any, key: str | None) -> list[Session]:
    """Where the account is signed in; `key` is this browser's."""
    return sessions.of(account.pk, key, clock.now())


def end_session(account: Any, session_id: str) -> None:
    """End one session of the account. Raises NotFound."""
    if not sessions.end(account.pk, only=session_id):
        raise NotFound


def end_other_sessions(account: Any, key: str | None) -> int:
    """End all sessions of the account but this browser's; returns how many."""
    return sessions.end(account.pk, but=key)


def may_drop_factor(account: Any, others: int) -> bool:
    """The last factor stays where a role asks for one, and where the password is too short to stand alone."""
    return others > 0 or not (second_factor.needed(account) or account.short_password)


def close(username: str) -> None:
    """Close an account at once. Raises NotFound."""
    joining.close(username, clock.now())


def reset_link(username: str, drop_factors: bool) -> str:
    """The operator's link for a new password; with `drop_factors` also for whoever lost every second factor. Raises
    NotFound.
    """
    account_id = logins.by_name(username)
    if drop_factors:
        second_factor.drop(username)
        joining.end_everything(account_id, clock.now())
    return invitations.reset_link_as_operator(account_id)


def vouch(username: str) -> bool:
    """The operator says that the account is in the right hands. Raises NotFound."""
    return joining.vouch(logins.by_name(username), None)
