"""Logins for people who are in the records."""

from __future__ import annotations

from dataclasses import dataclass

from athletes.records import logins

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
