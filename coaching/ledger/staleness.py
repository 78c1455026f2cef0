"""Which athletes' conclusions are older than their facts. The database is the queue: a lost nudge loses nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import uuid4

from django.db.models import F, Q

from coaching.ledger.models import Staleness

ATTEMPTS = 5
"""A row that failed this often is left alone until its facts change or an operator retries it."""
CLAIM_S = 120
"""Longest time a batch may be worked on before others may take it over."""


@dataclass(frozen=True)
class Due:
    athlete_id: int
    input_rev: int


def raise_for(athlete_ids: Iterable[int], now: datetime) -> None:
    """Mark the athletes' facts as changed. Call it inside the transaction that stores the facts."""
    ids = sorted(set(athlete_ids))
    changed = {"raised_at": now, "attempts": 0, "failure": "", "claimed_until": None}
    missing = [Staleness(athlete_id=i, input_rev=0, raised_at=now) for i in ids]
    Staleness.objects.bulk_create(missing, ignore_conflicts=True)
    Staleness.objects.filter(athlete_id__in=ids).update(input_rev=F("input_rev") + 1, **changed)


def _waiting(now: datetime) -> Q:
    behind = Q(computed_rev__lt=F("input_rev")) | Q(due_at__lte=now)
    free = Q(claimed_until__isnull=True) | Q(claimed_until__lte=now)
    return behind & free & Q(attempts__lt=ATTEMPTS)


def claim(now: datetime, limit: int) -> list[Due]:
    """Take up to `limit` waiting athletes, oldest first, for CLAIM_S seconds. Two claimers never get the same row."""
    oldest = Staleness.objects.filter(_waiting(now)).order_by("raised_at", "athlete_id")
    return claim_these(list(oldest.values_list("athlete_id", flat=True)[:limit]), now)


def claim_these(athlete_ids: Sequence[int], now: datetime) -> list[Due]:
    """The part of these athletes that is waiting and that nobody else holds.

    One UPDATE with the condition in it, so that of two claimers at the same instant only one gets a row.
    """
    token = uuid4().hex
    Staleness.objects.filter(_waiting(now), athlete_id__in=athlete_ids).update(
        claimed_until=now + timedelta(seconds=CLAIM_S), claimed_by=token, attempts=F("attempts") + 1
    )
    taken = Staleness.objects.filter(claimed_by=token).values_list("athlete_id", flat=True)
    return revisions(list(taken))


def revisions(athlete_ids: Sequence[int]) -> list[Due]:
    """Revision of the facts of each athlete, read before the facts themselves are."""
    rows = Staleness.objects.filter(athlete_id__in=athlete_ids).order_by("athlete_id")
    return [Due(*row) for row in rows.values_list("athlete_id", "input_rev")]


def finish(due: Due, now: datetime, next_due: datetime) -> bool:
    """Record that conclusions stand for `due.input_rev`; False where newer ones already do."""
    rows = Staleness.objects.filter(athlete_id=due.athlete_id, computed_rev__lte=due.input_rev)
    return bool(
        rows.update(
            computed_rev=due.input_rev, computed_at=now, due_at=next_due, attempts=0, claimed_until=None, failure=""
        )
    )


def fail(athlete_id: int, why: str) -> None:
    """Let go of a row that could not be computed, with the reason."""
    Staleness.objects.filter(athlete_id=athlete_id).update(claimed_until=None, failure=why[:2000])


def forget(athlete_ids: Sequence[int]) -> None:
    """Drop the rows of athletes who are no longer in the records."""
    Staleness.objects.filter(athlete_id__in=athlete_ids).delete()


def release_claims() -> None:
    """Forget all claims. Only for a runner that knows that it is alone, at its start."""
    Staleness.objects.exclude(claimed_until=None).update(claimed_until=None)


def waiting(now: datetime) -> int:
    """How many athletes' conclusions are out of date, those in work and those given up included."""
    return Staleness.objects.filter(Q(computed_rev__lt=F("input_rev")) | Q(due_at__lte=now)).count()


def stale_of(athlete_ids: Sequence[int]) -> frozenset[int]:
    """Those of the athletes whose facts are newer than their conclusions."""
    behind = Staleness.objects.filter(athlete_id__in=athlete_ids, computed_rev__lt=F("input_rev"))
    return frozenset(behind.values_list("athlete_id", flat=True))
