"""Who meets on the pages of an athlete's pocket: two grown athletes, a minor's guardian, and the coach."""

from __future__ import annotations

from django.test import Client

from athletes.records.models import Account
from tests import stored


def people() -> dict[str, Account]:
    """Logins by role in one squad; `other` is the second athlete, and everything is shared with the coach."""
    squad = stored.squad()
    rows = stored.athletes(["a1", "a2"], squad)
    minor = stored.athletes(["m1"], squad, stored.MINOR)
    stored.share([*rows, *minor])
    found = {"athlete": stored.login("athlete", squad, rows[:1]), "other": stored.login("athlete", squad, rows[1:])}
    found["guardian"] = stored.login("guardian", squad, minor)
    found["head-coach"] = stored.login("head-coach", squad)
    return found


def client(who: Account) -> Client:
    """A browser in which this account is signed in."""
    found = Client()
    found.force_login(who)
    return found
