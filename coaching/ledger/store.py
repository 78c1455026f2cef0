"""Write conclusions: one row an athlete and day, one row an entry and day, guarded by the revision of the facts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from coaching.ledger import kept as forecasts
from coaching.ledger import staleness
from coaching.ledger.kept import KeptRow
from coaching.ledger.many import insert, upsert
from coaching.ledger.models import Conclusion, EntryConclusion, SquadBar


@dataclass(frozen=True)
class EntryRow:
    event_id: int
    level: str
    p: float
    low: float
    high: float
    bar_frac: float
    first_day: date
    last_day: date
    body: dict[str, object]


@dataclass(frozen=True)
class AthleteRow:
    """Conclusions of one athlete on one local day, ready to be stored."""

    athlete_id: int
    as_of: date
    model: str
    rulebook: str
    inputs_digest: str
    medical: str
    may_climb: str
    known_until: date | None
    body: dict[str, object]
    picture: dict[str, object]
    entries: tuple[EntryRow, ...]
    kept: tuple[KeptRow, ...] = ()


@dataclass(frozen=True)
class Stored:
    due: staleness.Due
    row: AthleteRow
    next_due: datetime


def save(batch: Sequence[Stored], now: datetime) -> int:
    """Store what is not older than what stands, and return how many athletes that were."""
    with transaction.atomic():
        recorded = staleness.finish([(item.due, item.next_due) for item in batch], now)
        kept = [item for item in batch if item.due.athlete_id in recorded]
        _conclusions(kept, now)
        _entries(kept)
        forecasts.keep([row for item in kept for row in item.row.kept], now)
    return len(kept)


def save_past(rows: Sequence[AthleteRow], now: datetime) -> None:
    """Store conclusions of an earlier day, for comparison. They say nothing of staleness."""
    items = [Stored(staleness.Due(row.athlete_id, 0), row, now) for row in rows]
    with transaction.atomic():
        _conclusions(items, now)
        _entries(items)
        forecasts.keep([row for item in items for row in item.row.kept], now, afterwards=True)


def _conclusions(items: Sequence[Stored], now: datetime) -> None:
    fresh = [
        Conclusion(
            athlete_id=i.row.athlete_id,
            as_of=i.row.as_of,
            model=i.row.model,
            rulebook=i.row.rulebook,
            inputs_digest=i.row.inputs_digest,
            input_rev=i.due.input_rev,
            computed_at=now,
            medical=i.row.medical,
            may_climb=i.row.may_climb,
            known_until=i.row.known_until,
            body=i.row.body,
            picture=i.row.picture,
        )
        for i in items
    ]
    upsert(fresh, once=("athlete_id", "as_of"))


def _entries(items: Sequence[Stored]) -> None:
    for as_of in {i.row.as_of for i in items}:
        ids = [i.row.athlete_id for i in items if i.row.as_of == as_of]
        EntryConclusion.objects.filter(athlete_id__in=ids, as_of=as_of).delete()
    fresh = [
        EntryConclusion(
            athlete_id=i.row.athlete_id,
            event_id=e.event_id,
            as_of=i.row.as_of,
            level=e.level,
            p=e.p,
            low=e.low,
            high=e.high,
            bar_frac=e.bar_frac,
            first_day=e.first_day,
            last_day=e.last_day,
            body=e.body,
        )
        for i in items
        for e in i.row.entries
    ]
    insert(fresh)


def save_bar(squad_id: int, as_of: date, bar_frac: float, athlete_days: int) -> None:
    """Keep the squad's bar of that day; the first one stands, so that a day has one bar."""
    SquadBar.objects.bulk_create(
        [SquadBar(squad_id=squad_id, as_of=as_of, bar_frac=bar_frac, athlete_days=athlete_days)], ignore_conflicts=True
    )
