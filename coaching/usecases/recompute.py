"""Compute what is out of date. The in-process runner, a worker, a command and the tests all call this."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.conf import settings
from django.db import DatabaseError, InterfaceError, connection

from athletes.records import queries
from coaching.ledger import periods, staleness, store
from coaching.usecases import at_hand, clock
from coaching.usecases.holding import held

log = logging.getLogger(__name__)
Progress = Callable[[int], None]
SWEEP = "sweep"
"""Name of the job whose periods and last end are kept."""
FIRST = 50
"""Athletes in the first batch of a drain that has only so much time: it shows how many the next may hold."""


class OutOfTime(BaseException):
    """Raised into a computation whose time is up. It is nobody's failure: what is in hand goes back, to be tried again
    in smaller batches. No handler of ordinary errors may take it for an athlete's fault, hence no Exception."""


def waiting() -> int:
    """How many athletes' conclusions are out of date now."""
    return staleness.waiting(clock.now())


@dataclass(frozen=True)
class _Pace:
    """How many athletes to take next, so that a drain ends about when its time is up."""

    most: int
    began: datetime
    budget_s: float | None

    def size(self, done: int) -> int:
        """Athletes that fit into what is left of the time, at the pace so far; 0 once it is up."""
        if self.budget_s is None:
            return self.most
        used_s = (clock.now() - self.began).total_seconds()
        if used_s >= self.budget_s:
            return 0
        fitting = done * (self.budget_s / used_s - 1) if used_s else self.most
        return min(self.most, max(int(fitting), 1) if done else FIRST)


def drain(
    progress: Progress | None = None, batch: int | None = None, budget_s: float | None = None, owner: str = ""
) -> int:
    """Claim and compute until nothing waits or the time is up; returns how many athletes were stored.

    What is left when the time is up waits for the next drain. `owner` is as for a claim.
    """
    pace = _Pace(batch or settings.TENPADS_BATCH, clock.now(), budget_s)
    done = 0
    while (size := pace.size(done)) and (claimed := staleness.claim(clock.now(), size, owner)):
        done += _batch(claimed)
        if progress:
            progress(done)
    periods.ended(SWEEP, clock.now())
    return done


def drain_these(athlete_ids: Sequence[int], owner: str = "") -> int:
    """Compute those of the athletes that wait and that nobody else has in hand."""
    done = 0
    while claimed := staleness.claim_these(athlete_ids, clock.now(), owner):
        done += _batch(claimed)
    return done


def _batch(claimed: Sequence[staleness.Due]) -> int:
    """One batch, grouped by the athletes' own local day; what is left of it when time runs out goes back."""
    token = claimed[0].claimed_by
    try:
        with held(token):
            return sum(_day(day, group, zones, now) for day, group, zones, now in _groups(claimed))
    except OutOfTime:
        _let_go(token)
        raise


def _let_go(token: str) -> None:
    try:
        staleness.release(token)
    except (DatabaseError, InterfaceError) as error:  # cut off in the middle of a statement
        log.warning("a claim was not let go of and will run out: %r", error)


def _groups(
    claimed: Sequence[staleness.Due],
) -> list[tuple[date, list[staleness.Due], dict[int, str], datetime]]:
    now = clock.now()
    zones = queries.zones_of([due.athlete_id for due in claimed])
    by_day: dict[date, list[staleness.Due]] = {}
    for due in claimed:
        by_day.setdefault(clock.local_day(now, zones.get(due.athlete_id, "UTC")), []).append(due)
    return [(day, group, zones, now) for day, group in sorted(by_day.items())]


def _day(day: date, group: Sequence[staleness.Due], zones: dict[int, str], now: datetime) -> int:
    """Compute and store a group; where that fails, its halves, until the one that fails is alone and named."""
    try:
        return _stored(day, group, zones, now)
    except Exception as error:  # one poisoned row must not stop the others
        if _database_gone(error):
            raise
        if len(group) == 1:
            log.exception("athlete %s could not be computed", group[0].athlete_id)
            staleness.fail(group[0], repr(error), now)
            return 0
    middle = len(group) // 2
    return _day(day, group[:middle], zones, now) + _day(day, group[middle:], zones, now)


def _database_gone(error: Exception) -> bool:
    """True where it was the connection that failed, which says nothing of the athletes in hand."""
    return isinstance(error, DatabaseError | InterfaceError) and not connection.is_usable()


def _stored(day: date, group: Sequence[staleness.Due], zones: dict[int, str], now: datetime) -> int:
    rows = at_hand.conclude_due(group, day)
    found = [due for due in group if due.athlete_id in rows]
    batch = [store.Stored(due, rows[due.athlete_id], clock.next_midnight(now, zones[due.athlete_id])) for due in found]
    stored = store.save(batch, now)
    staleness.forget([due.athlete_id for due in group if due.athlete_id not in rows])
    return stored
