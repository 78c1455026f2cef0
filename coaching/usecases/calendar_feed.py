"""Calendar feeds: whoever holds the address reads, in its maker's name and as they may at this moment, what is when.

What it is stands on the pages: a calendar is read by many eyes and copied to many places, so it names nobody, tells
nothing of skin, and calls an event an event.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from athletes.records import access, access_seen, choices, feeds, queries_calendar
from athletes.records.errors import NotFound
from athletes.records.feeds import Item, Kept
from athletes.records.viewer import Viewer
from coaching.usecases import access_log, clock, sign_in
from coaching.usecases.morning_list import COACHING

__all__ = ["Feed", "Item", "Kept", "end", "kinds", "make", "of", "read", "rotate", "uid"]
NAME = "calendar-link"
BEHIND, AHEAD = timedelta(days=30), timedelta(days=366)


@dataclass(frozen=True)
class Feed:
    """What is told under one address: `viewer` is in whose name, `names` what its UIDs are made from."""

    kind: str
    viewer: Viewer
    names: UUID
    items: tuple[Item, ...]


def kinds(viewer: Viewer) -> list[str]:
    """Kinds of calendar that the viewer may have."""
    may = {"own": viewer.own_athlete_id is not None, "season": bool(viewer.roles() & COACHING)}
    return [kind for kind in choices.FEED_KINDS if may[kind]]


def of(account: Any) -> list[Kept]:
    """The account's feeds that stand."""
    return feeds.of(account.pk, clock.now())


def make(account: Any, viewer: Viewer, kind: str) -> str:
    """The secret of a new feed, told this once. Raises NotFound for a kind that is not the viewer's, and BadInput."""
    if kind not in kinds(viewer):
        raise NotFound
    return feeds.make(account.pk, kind, clock.now())


def rotate(account: Any, feed_id: int) -> str:
    """A new secret; the old address ends. Raises NotFound."""
    return feeds.rotate(account.pk, feed_id, clock.now())


def end(account: Any, feed_id: int) -> None:
    """End a feed from the next request on. Raises NotFound."""
    feeds.end(account.pk, feed_id)


def read(secret: str, from_this_machine: bool) -> Feed:
    """What is told under a secret. Raises NotFound, alike for all that does not stand and for an account that could not
    come in by the door itself at this moment.
    """
    now = clock.now()
    row = feeds.find(secret, now)
    account = row.account
    viewer = sign_in.viewer(account)
    if (account.demo and not from_this_machine) or sign_in.held(account) or row.kind not in kinds(viewer):
        raise NotFound
    if sign_in.lacks_second_factor(account, viewer):
        raise NotFound
    first = now.date() - BEHIND
    with access_seen.watching() as seen:
        found = _own(viewer, first) if row.kind == "own" else _season(viewer, first)
    # Nobody is signed in, so the page's own log has nobody to name.
    access_log.write(viewer, seen, NAME, "GET", program=True)
    return Feed(row.kind, viewer, row.names, tuple(feeds.told(row.pk, found, first, now)))


def uid(feed: Feed, item: Item) -> str:
    """The same for the same entry of the same feed, whatever becomes of either (RFC 7986, 5.3)."""
    return str(uuid5(feed.names, item.key))


def _own(viewer: Viewer, first: date) -> list[Item]:
    ref = access.own_athlete(viewer)
    last = first + BEHIND + AHEAD
    found = [_event(one) for one in queries_calendar.events_of([ref.id], first, last)]
    for day, number, at in queries_calendar.sessions_planned(ref.id, first, last):
        found.append(Item(f"session:{day.isoformat()}:{number}", "session", day, day, at, ref.timezone if at else ""))
    return found


def _season(viewer: Viewer, first: date) -> list[Item]:
    ids = [ref.id for ref in access.refs_visible(viewer, "level")]
    found = []
    for one in queries_calendar.events_of(ids, first, first + BEHIND + AHEAD):
        found.append(_event(one))
        if one.entry_deadline is not None:
            found.append(_closes(one.id, one.entry_deadline, one.timezone))
    return found


def _event(one: queries_calendar.EventDays) -> Item:
    return Item(f"event:{one.id}", "event", one.first_day, one.last_day)


def _closes(event_id: int, at: datetime, zone: str) -> Item:
    day = at.astimezone(ZoneInfo(zone)).date()
    return Item(f"closes:{event_id}", "closes", day, day, at, zone)
