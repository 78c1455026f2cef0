"""Compute what is out of date. The in-process runner, a worker, a command and the tests all call this."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from datetime import date, datetime

from django.conf import settings

from athletes.records import queries
from coaching.ledger import staleness, store
from coaching.usecases import clock, conclude

log = logging.getLogger(__name__)
Progress = Callable[[int], None]


def waiting() -> int:
    """How many athletes' conclusions are out of date now."""
    return staleness.waiting(clock.now())


def drain(progress: Progress | None = None, batch: int | None = None) -> int:
    """Claim and compute until nothing waits; returns how many athletes were stored."""
    done = 0
    while claimed := staleness.claim(clock.now(), batch or settings.TENPADS_BATCH):
        done += _batch(claimed)
        if progress:
            progress(done)
    return done


def drain_these(athlete_ids: Sequence[int]) -> int:
    """Compute those of the athletes that wait and that nobody else has in hand."""
    claimed = staleness.claim_these(athlete_ids, clock.now())
    return _batch(claimed) if claimed else 0


def _batch(claimed: Sequence[staleness.Due]) -> int:
    """One batch, grouped by the athletes' own local day."""
    now = clock.now()
    zones = queries.zones_of([due.athlete_id for due in claimed])
    by_day: dict[date, list[staleness.Due]] = {}
    for due in claimed:
        by_day.setdefault(clock.local_day(now, zones.get(due.athlete_id, "UTC")), []).append(due)
    return sum(_day(day, group, zones, now) for day, group in sorted(by_day.items()))


def _day(day: date, group: Sequence[staleness.Due], zones: dict[int, str], now: datetime) -> int:
    """Compute and store a group; where that fails, its halves, until the one that fails is alone and named."""
    try:
        return _stored(day, group, zones, now)
    except Exception as error:  # one poisoned row must not stop the others
        if len(group) == 1:
            log.exception("athlete %s could not be computed", group[0].athlete_id)
            staleness.fail(group[0], repr(error), now)
            return 0
    middle = len(group) // 2
    return _day(day, group[:middle], zones, now) + _day(day, group[middle:], zones, now)


def _stored(day: date, group: Sequence[staleness.Due], zones: dict[int, str], now: datetime) -> int:
    rows = conclude.conclude([due.athlete_id for due in group], day)
    found = [due for due in group if due.athlete_id in rows]
    batch = [
        store.Stored(due, rows[due.athlete_id], clock.next_midnight(now, zones[due.athlete_id]))
        for due in found
    ]
    stored = store.save(batch, now)
    staleness.forget([due.athlete_id for due in group if due.athlete_id not in rows])
    return stored
