"""Whose conclusions are older than their facts. The database is the queue: a lost nudge loses nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import uuid4

from django.db import transaction
from django.db.models import Case, DateTimeField, F, Q, Value, When

from coaching.ledger.models import Staleness

ATTEMPTS = 5
"""A row that failed this often is left alone until its facts change or the program is started anew."""
CLAIM_S = 120
"""Longest time a batch may be worked on before others may take it over."""
PAUSE_S = 15
"""How long a row rests after its first failure, and four times as long after each further one: what failed
because something else was away for a while is not given up within a second."""


@dataclass(frozen=True)
class Due:
    """An athlete in hand: the revision to compute, by whose claim, and which attempt it is."""

    athlete_id: int
    input_rev: int
    claimed_by: str = ""
    attempts: int = 0


def raise_for(athlete_ids: Iterable[int], now: datetime) -> None:
    """Mark facts as changed, in the transaction that stores them; outside of one it raises.

    Rows are locked in the order of their keys, so that two who touch the same athletes wait for each other
    and never block each other.
    """
    if not transaction.get_connection().in_atomic_block:
        raise transaction.TransactionManagementError(
            "Mark facts as changed in the transaction that stores them."
        )
    ids = sorted(set(athlete_ids))
    changed = {"raised_at": now, "attempts": 0, "failure": "", "claimed_until": None, "claimed_by": ""}
    missing = [Staleness(athlete_id=i, input_rev=0, raised_at=now) for i in ids]
    Staleness.objects.bulk_create(missing, ignore_conflicts=True)
    rows = Staleness.objects.filter(athlete_id__in=ids)
    list(rows.select_for_update().order_by("athlete_id").values_list("athlete_id"))
    rows.update(input_rev=F("input_rev") + 1, **changed)


def _waiting(now: datetime) -> Q:
    behind = Q(computed_rev__lt=F("input_rev")) | Q(due_at__lte=now)
    free = Q(claimed_until__isnull=True) | Q(claimed_until__lte=now)
    return behind & free & Q(attempts__lt=ATTEMPTS)


def claim(now: datetime, limit: int) -> list[Due]:
    """Take up to `limit` waiting athletes, oldest first, for CLAIM_S seconds; no two claimers get one row."""
    oldest = Staleness.objects.filter(_waiting(now)).order_by("raised_at", "athlete_id")
    ids = list(oldest.values_list("athlete_id", flat=True)[:limit])
    return claim_these(ids, now) if ids else []


def claim_these(athlete_ids: Sequence[int], now: datetime) -> list[Due]:
    """The part of these athletes that is waiting and that nobody else holds.

    The condition is in the UPDATE, so that of two claimers at the same instant only one gets a row. A row
    that somebody has locked is passed over: its facts are being changed, and who changes them tells of it.
    """
    token = uuid4().hex
    with transaction.atomic():
        free = Staleness.objects.filter(_waiting(now), athlete_id__in=athlete_ids)
        unlocked = free.select_for_update(skip_locked=True).order_by("athlete_id")
        ids = list(unlocked.values_list("athlete_id", flat=True))
        Staleness.objects.filter(_waiting(now), athlete_id__in=ids).update(
            claimed_until=now + timedelta(seconds=CLAIM_S), claimed_by=token, attempts=F("attempts") + 1
        )
        taken = Staleness.objects.filter(claimed_by=token).order_by("athlete_id")
        return [Due(*row) for row in taken.values_list("athlete_id", "input_rev", "claimed_by", "attempts")]


def finish(due: Due, now: datetime, next_due: datetime) -> bool:
    """Record that conclusions stand for `due.input_rev`; False where newer ones already do.

    Whoever has claimed the row since, because the facts changed, keeps it.
    """
    rows = Staleness.objects.filter(athlete_id=due.athlete_id, computed_rev__lte=due.input_rev)
    nobody = Value(None, output_field=DateTimeField())
    claim = Case(When(claimed_by=due.claimed_by, then=nobody), default=F("claimed_until"))
    stands = {"computed_rev": due.input_rev, "computed_at": now, "due_at": next_due}
    return bool(rows.update(claimed_until=claim, attempts=0, failure="", **stands))


def fail(due: Due, why: str, now: datetime) -> None:
    """Let go of a row that could not be computed, with the reason, to rest; not where its facts changed since."""
    rest = timedelta(seconds=PAUSE_S * 4 ** max(due.attempts - 1, 0))
    mine = Staleness.objects.filter(athlete_id=due.athlete_id, claimed_by=due.claimed_by)
    mine.update(claimed_until=now + rest, failure=why[:2000])


def forget(athlete_ids: Sequence[int]) -> None:
    """Drop the rows of athletes who are no longer in the records."""
    Staleness.objects.filter(athlete_id__in=athlete_ids).delete()


def release_claims() -> None:
    """Forget all claims, and try again what was given up with a failure: the program may be put right by now.

    Only for a runner that knows that it is alone, at its start. A row that ended its process left no failure
    behind and keeps its count of attempts, so that it cannot end the process at every start for ever.
    """
    Staleness.objects.exclude(claimed_until=None).update(claimed_until=None)
    Staleness.objects.exclude(failure="").update(attempts=0)


def waiting(now: datetime) -> int:
    """How many athletes' conclusions are out of date, those in work and those given up included."""
    return Staleness.objects.filter(Q(computed_rev__lt=F("input_rev")) | Q(due_at__lte=now)).count()


def stale_of(athlete_ids: Sequence[int]) -> frozenset[int]:
    """Those of the athletes whose facts are newer than their conclusions."""
    behind = Staleness.objects.filter(athlete_id__in=athlete_ids, computed_rev__lt=F("input_rev"))
    return frozenset(behind.values_list("athlete_id", flat=True))
