"""Whose conclusions are older than their facts. The database is the queue: a lost nudge loses nothing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

from django.db import connection, transaction
from django.db.models import Case, DateTimeField, F, Q, QuerySet, Value, When

from coaching.ledger.models import Staleness

ATTEMPTS = 5
"""A row that failed this often is left alone until its facts change, somebody asks for it, or the embedded program is
started anew."""
CLAIM_S = 30
"""So long after the last sign of life of whoever has a batch in hand, others may take it over."""
SHRINK = 8
"""Rows tried before are claimed in batches so many times smaller at each attempt (500, 62, 7, 1): one that ends its
process is soon alone in its batch, and only itself is given up."""
OWNER = 16
"""Characters of a claim that name who claims; the rest tells one claim from the next."""
AT_ONCE = 400
"""Rows marked in one statement; SQLite takes no more than 999 values at once."""
NEW_ROW = "(%s, 1, 0, %s, 0, '', '')"
RAISE = """
INSERT INTO ledger_staleness (athlete_id, input_rev, computed_rev, raised_at, attempts, claimed_by, failure)
{rows}
ON CONFLICT (athlete_id) DO UPDATE SET
    input_rev = ledger_staleness.input_rev + 1, raised_at = EXCLUDED.raised_at,
    attempts = 0, claimed_by = '', failure = '', claimed_until = NULL
"""
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

    One statement inserts or raises. It locks rows in the order of their keys, so that two who touch the same athletes
    wait for each other and never block each other.
    """
    ids = sorted(set(athlete_ids))
    with connection.cursor() as cursor:
        for n in range(0, len(ids), AT_ONCE):
            cursor.execute(*raising(ids[n : n + AT_ONCE], now))


def raising(athlete_ids: Sequence[int], now: datetime) -> tuple[str, list[Any]]:
    """The statement of `raise_for` for at most AT_ONCE athletes in the order of their keys, for whoever does it in one
    round trip with what is stored.
    """
    if not connection.in_atomic_block:
        raise transaction.TransactionManagementError(
            "Mark facts as changed in the transaction that stores them."
        )
    at = connection.ops.adapt_datetimefield_value(now)
    values = [value for athlete_id in athlete_ids for value in (athlete_id, at)]
    return RAISE.format(rows=f"VALUES {', '.join([NEW_ROW] * len(athlete_ids))}"), values


def raising_after(table: str, athlete_id: int, now: datetime) -> tuple[str, list[Any]]:
    """The same for one athlete and as part of a statement that is its own transaction: once for each row of `table`."""
    at = connection.ops.adapt_datetimefield_value(now)
    return RAISE.format(rows=f"SELECT {NEW_ROW[1:-1]} FROM {table}"), [athlete_id, at]  # noqa: S608 - our own name


def _waiting(now: datetime, owner: str = "") -> Q:
    """Rows to claim: behind, not given up, and in nobody's hands, or in those of an owner who died and came back."""
    behind = Q(computed_rev__lt=F("input_rev")) | Q(due_at__lte=now)
    free = Q(claimed_until__isnull=True) | Q(claimed_until__lte=now)
    if owner:
        free |= Q(claimed_by__startswith=owner[:OWNER], failure="")
    return behind & free & Q(attempts__lt=ATTEMPTS)


def claim(now: datetime, limit: int, owner: str = "") -> list[Due]:
    """Take up to `limit` waiting athletes, untried before retried and oldest first; no two claimers get one row."""
    order = Staleness.objects.filter(_waiting(now, owner)).order_by("attempts", "raised_at", "athlete_id")
    ids = list(order.values_list("athlete_id", flat=True)[:limit])
    return claim_these(ids, now, owner, limit) if ids else []


def claim_these(athlete_ids: Sequence[int], now: datetime, owner: str = "", limit: int | None = None) -> list[Due]:
    """A batch of those of these athletes that are waiting and that nobody else holds, for CLAIM_S seconds.

    The condition is in the UPDATE, so that of two claimers at the same instant only one gets a row. A row
    that somebody has locked is passed over: its facts are being changed, and who changes them tells of it.
    `owner` is a name that outlives a process (a task's id): run again, it takes over what it had in hand.
    """
    waiting, token = _waiting(now, owner), (owner[:OWNER] + uuid4().hex)[:32]
    with transaction.atomic():
        free = Staleness.objects.filter(waiting, athlete_id__in=athlete_ids)
        unlocked = free.select_for_update(skip_locked=True).order_by("athlete_id")
        ids = _batch(dict(unlocked.values_list("athlete_id", "attempts")), limit or len(athlete_ids))
        Staleness.objects.filter(waiting, athlete_id__in=ids).update(
            claimed_until=now + timedelta(seconds=CLAIM_S), claimed_by=token, attempts=F("attempts") + 1
        )
        taken = Staleness.objects.filter(claimed_by=token).order_by("athlete_id")
        return [Due(*row) for row in taken.values_list("athlete_id", "input_rev", "claimed_by", "attempts")]


def _batch(attempts: dict[int, int], limit: int) -> list[int]:
    """Of these rows those tried least often, and no more of them than may be lost together."""
    least = min(attempts.values(), default=0)
    alike = [athlete_id for athlete_id, tried in attempts.items() if tried == least]
    return alike[: max(limit // SHRINK**least, 1)]


def _in_hand(token: str) -> QuerySet[Staleness]:
    return Staleness.objects.filter(claimed_by=token, claimed_until__isnull=False, failure="")


def renew(token: str, now: datetime) -> None:
    """A sign of life: what is still in hand of a claim stays so for another CLAIM_S seconds."""
    _in_hand(token).update(claimed_until=now + timedelta(seconds=CLAIM_S))


def release(token: str) -> None:
    """Let go of what is still in hand of a claim. The attempt stays counted, so that the next batch is smaller."""
    _in_hand(token).update(claimed_until=None)


def finish(items: Iterable[tuple[Due, datetime]], now: datetime) -> frozenset[int]:
    """Record that conclusions stand for each `due.input_rev`, up to the instant beside it.

    It returns the athletes of whom that could be recorded: not those for whom newer conclusions stand already, and
    not those whose row is gone. Whoever has claimed a row since, because the facts changed, keeps it. Rows are locked
    in the order of their keys, as by who marks facts as changed, and written together where they say the same.
    """
    alike: dict[tuple[int, str, datetime], list[int]] = defaultdict(list)
    for due, next_due in items:
        alike[due.input_rev, due.claimed_by, next_due].append(due.athlete_id)
    ids = [athlete_id for group in alike.values() for athlete_id in group]
    with transaction.atomic():
        rows = Staleness.objects.filter(athlete_id__in=ids).select_for_update().order_by("athlete_id")
        computed = dict(rows.values_list("athlete_id", "computed_rev"))
        recorded: set[int] = set()
        for (input_rev, claimed_by, next_due), group in alike.items():
            older = [i for i in group if i in computed and computed[i] <= input_rev]
            _stands(older, input_rev, claimed_by, next_due, now)
            recorded.update(older)
    return frozenset(recorded)


def _stands(ids: Sequence[int], input_rev: int, claimed_by: str, next_due: datetime, now: datetime) -> None:
    nobody = Value(None, output_field=DateTimeField())
    claim = Case(When(claimed_by=claimed_by, then=nobody), default=F("claimed_until"))
    stands = {"computed_rev": input_rev, "computed_at": now, "due_at": next_due}
    Staleness.objects.filter(athlete_id__in=ids).update(claimed_until=claim, attempts=0, failure="", **stands)


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


def _behind(now: datetime) -> QuerySet[Staleness]:
    return Staleness.objects.filter(Q(computed_rev__lt=F("input_rev")) | Q(due_at__lte=now))


def _given_up(now: datetime) -> Q:
    """Tried too often, and nobody is at the last try any more."""
    idle = Q(claimed_until__isnull=True) | Q(claimed_until__lte=now) | ~Q(failure="")
    return Q(attempts__gte=ATTEMPTS) & idle


def waiting(now: datetime) -> int:
    """How many athletes' conclusions are out of date, those in work and those given up included."""
    return _behind(now).count()


def given_up(now: datetime) -> int:
    """How many of them nobody will try again unasked."""
    return _behind(now).filter(_given_up(now)).count()


@dataclass(frozen=True)
class Late:
    """An athlete whose conclusions are out of date, and what became of it so far."""

    athlete_id: int
    since: datetime
    attempts: int
    failure: str
    given_up: bool
    free_at: datetime | None
    """Until then it is in somebody's hands, or rests after a failure; None where neither holds."""


def late(now: datetime) -> list[Late]:
    """All who wait, the longest first."""
    rows = _behind(now).annotate(lost=Case(When(_given_up(now), then=Value(True)), default=Value(False)))
    return sorted((_late(row, now) for row in rows), key=lambda one: (one.since, one.athlete_id))


def _late(row: Staleness, now: datetime) -> Late:
    behind = row.computed_rev < row.input_rev
    since = row.raised_at if behind or row.due_at is None else row.due_at
    held = row.claimed_until if row.claimed_until and row.claimed_until > now else None
    lost: bool = row.lost  # type: ignore[attr-defined]
    return Late(row.athlete_id, since, row.attempts, row.failure, lost, None if lost else held)


def retry(athlete_ids: Sequence[int] | None, now: datetime) -> int:
    """Try again, at once, what was given up or rests after a failure, of these athletes or of all; how many it is."""
    stuck = _behind(now).filter(_given_up(now) | ~Q(failure=""))
    mine = stuck if athlete_ids is None else stuck.filter(athlete_id__in=athlete_ids)
    return mine.update(attempts=0, failure="", claimed_until=None, claimed_by="")


def stale_of(athlete_ids: Sequence[int]) -> frozenset[int]:
    """Those of the athletes whose facts are newer than their conclusions."""
    behind = Staleness.objects.filter(athlete_id__in=athlete_ids, computed_rev__lt=F("input_rev"))
    return frozenset(behind.values_list("athlete_id", flat=True))
