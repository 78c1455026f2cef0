"""The minute's job: whose hour has come is asked whether there is still something, and told of it once.

Nothing is timed in a queue: what is due stands in a row with its time, and whoever moves that row on is the one who
does the work. What could not go out within the hour, or would go out in quiet hours, lapses.
"""

from __future__ import annotations

import logging
from collections.abc import Sequence
from datetime import datetime, timedelta
from itertools import groupby
from typing import Any

from django.utils import translation

from athletes.records import access, care_told, queries, reminders, row_scope
from athletes.records.errors import NotFound
from athletes.records.reminders import Way
from athletes.records.viewer import Viewer
from coaching.ledger import periods
from coaching.usecases import clock, sign_in
from coaching.usecases.reminding import asked, hours, ways
from coaching.usecases.reminding.webpush import Browser
from coaching.usecases.showing import show
from coaching.usecases.tell_step import step_key

log = logging.getLogger(__name__)
JOB = "remind"
PERIOD_S = 60
MOST_TRIES = 3
MOST_AT_ONCE = 200
BUDGET = timedelta(seconds=30)
"""What is not sent by then is the next minute's."""


def minutely(settled: datetime | None = None) -> datetime:
    """What this minute brings, for one of however many schedulers ask; returns the minute that is settled."""
    start = periods.start_of(clock.now(), PERIOD_S)
    if start != settled and periods.begin(JOB, start):
        with row_scope.everybody():
            remind(clock.now())
            send(clock.now())
    return start


def remind(now: datetime) -> int:
    """Put out messages for whoever's hour has come; returns how many."""
    count = 0
    for _, rows in groupby(reminders.due(now), key=lambda row: row.account_id):
        group = list(rows)
        try:
            count += _account(group[0].account, group, now)
        except Exception:  # one account that cannot be asked must not keep the others waiting
            log.exception("reminders of account %s could not be looked at", group[0].account_id)
    return count


def _account(account: Any, rows: Sequence[Any], now: datetime) -> int:
    """One message with whatever of these kinds there still is something of, however many are due."""
    way = reminders.way(account.pk)
    mine = [row for row in rows if reminders.moved_on(row, *hours.next_due(row.minute, way.zone, now, row.due_on))]
    ends = [hours.lapses(row.due_at, way.zone, way.quiet_from, way.quiet_to) for row in mine]
    kinds = [row.kind for row, end in zip(mine, ends, strict=True) if now < end]
    found = still(account, kinds)
    if not found:
        return 0
    return reminders.put_out(account.pk, found, by_mail(way), now, min(end for end in ends if now < end))


def by_mail(way: Way) -> bool:
    return bool(ways.mail_on() and way.mail_to and way.mail_confirmed)


def still(account: Any, kinds: Sequence[str]) -> list[str]:
    """Those of the kinds of which there is something, for an account that could come in by the door itself."""
    viewer = sign_in.viewer(account)
    if not account.is_active or sign_in.held(account) or sign_in.lacks_second_factor(account, viewer):
        return []
    may = [kind for kind in kinds if kind in asked.kinds(viewer)]
    try:
        own = _own(viewer) if set(may) & set(asked.OF_ATHLETE) else frozenset()
    except NotFound:
        own = frozenset()
    return [kind for kind in may if kind in own or (kind == "moved" and _moved(viewer))]


def _own(viewer: Viewer) -> frozenset[str]:
    """Kinds of which there is something for the athlete on their own day."""
    ref = access.own_athlete(viewer)
    day = clock.local_day(clock.now(), ref.timezone)
    shown = show(viewer, [ref])[0]
    told = {one.key for one in care_told.told_on(ref.id, day)}
    deadlines = [d for entry in shown.entries for d in entry.deadlines if d.latest == day and d.state != "done"]
    found = {
        "morning": not queries.checkin_of_day(viewer, ref.id, day),
        "session": reminders.session_open(ref.id, day),
        "step": any(step.date == day and step_key(step) not in told for step in shown.steps),
        "look": any(d.kind in ("look", "taped-try") for d in deadlines),
    }
    return frozenset(kind for kind, there in found.items() if there)


def _moved(viewer: Viewer) -> bool:
    """A last day of somebody who lets the viewer see it is another than the day before."""
    refs = access.refs_visible(viewer)
    today = {ref.code: clock.local_day(clock.now(), ref.timezone) for ref in refs}
    shown = (one for one in show(viewer, refs, course=False) if one.as_of == today[one.code])
    return any(d.was is not None for one in shown for entry in one.entries for d in entry.deadlines)


def send(now: datetime) -> int:
    """Send what waits; returns how many went out."""
    count = 0
    for row in reminders.waiting(now, MOST_AT_ONCE):
        if clock.now() - now > BUDGET:
            break
        if reminders.take(row, now):
            count += _one(row, now)
    return count


def _one(row: Any, now: datetime) -> int:
    way = reminders.way(row.account_id)
    later = row.attempts and not still(row.account, row.kinds.split())  # it was asked just now for a first try
    if later or hours.quiet_now(now, way.zone, way.quiet_from, way.quiet_to):
        reminders.settle(row, "lapsed")
        return 0
    viewer = sign_in.viewer(row.account)
    with translation.override(viewer.language or None):
        outcome, asked_s = _out(row, way, now)
    again = now + ways.wait(row.attempts + 1, asked_s)
    if outcome == ways.AGAIN and row.attempts + 1 < MOST_TRIES and again < row.lapses_at:
        reminders.settle(row, "waiting", again)
    elif outcome == ways.GONE and row.push is not None:
        reminders.gone(row.push_id)  # its messages go with it
    else:
        reminders.settle(row, {ways.SENT: "sent", ways.GONE: "gone"}.get(outcome, "lapsed"))
    return int(outcome == ways.SENT)


def _out(row: Any, way: Way, now: datetime) -> tuple[str, int]:
    kinds = row.kinds.split()
    if row.push is not None:
        return ways.send_push(Browser(row.push.endpoint, row.push.p256dh, row.push.auth), kinds, now)
    if not by_mail(way):
        return ways.GONE, 0
    return ways.send_mail(way.mail_to, kinds, asked.stop_token(row.account_id, way.mail_to)), 0
