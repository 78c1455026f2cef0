"""Who a signed-in account is, how long it stays signed in, and what it has to do first."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

from athletes.records import access, choices, second_factor, sessions, tokens
from athletes.records.sessions import Stay
from athletes.records.tokens import Holder
from athletes.records.viewer import Viewer
from coaching.usecases import clock


def by_token(text: str) -> Holder | None:
    """Who holds a token, and what it may be used for; None where it does not stand."""
    return tokens.holder(text, clock.now())


def viewer(account: Any) -> Viewer:
    """The account's roles on today's date (UTC)."""
    now = clock.now()
    return access.viewer_for(account, now.date(), now)


STAFF_STAY = Stay(idle=timedelta(hours=12), most=timedelta(days=7))
STAY = Stay(idle=timedelta(days=14), most=timedelta(days=90))
NOTED_EVERY = timedelta(minutes=10)


def account(account_id: int) -> Any:
    """The account of a session, with what the door asks of it, in one query; None where it is gone."""
    return second_factor.signed_in(account_id)


def begin(session: Any, browser: str) -> None:
    """Note when a session began."""
    sessions.begin(session, clock.now(), browser)


def stays(session: Any, viewer: Viewer) -> bool:
    """The session goes on: not idle for too long, not older than it may be; whoever sees others stays for less long.
    Its use is noted.
    """
    now = clock.now()
    staff = bool(viewer.roles() & set(choices.SECOND_FACTOR_ROLES + ("manager",)))
    if sessions.over(session, now, STAFF_STAY if staff else STAY):
        return False
    sessions.seen(session, now, NOTED_EVERY)
    return True


def lacks_second_factor(account: Any, viewer: Viewer) -> bool:
    """The account reaches only the pages on which it sets up a second factor."""
    return second_factor.lacking(account, viewer)


def held(account: Any) -> bool:
    """The password was set anew through somebody else's link, and nobody has vouched yet: nothing is read."""
    return account.vouch_needed_since is not None


def narrowed(viewer: Viewer) -> Viewer:
    """What is left for a phone's token: the athlete, over themselves."""
    return replace(viewer, grants=tuple(g for g in viewer.grants if g.role == "athlete"))
