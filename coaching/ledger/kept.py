"""Keep what was said, and read it back to be scored."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import TextField
from django.db.models.functions import Cast

from coaching.ledger.many import insert_new, upsert
from coaching.ledger.models import KeptForecast

ONCE = ("athlete_id", "made_on", "event_id", "target_day")
DIGITS = 4


@dataclass(frozen=True)
class KeptRow:
    """One forecast; `told` are quantiles of the ratings of reserve and of dampness, pt. `event_id` 0: a day as such."""

    athlete_id: int
    made_on: date
    target_day: date
    until_day: date
    model: str
    p: float
    low: float
    high: float
    p_skin: float
    told: tuple[tuple[float, ...], tuple[float, ...]]
    event_id: int = 0
    afterwards: bool = False

    @property
    def horizon_days(self) -> int:
        return (self.target_day - self.made_on).days


def keep(rows: Sequence[KeptRow], now: datetime, *, afterwards: bool = False) -> None:
    """Store forecasts of the local day that runs, in one statement: the day's last one stands.

    Those computed `afterwards` never take the place of one that was shown.
    """
    fresh = [
        KeptForecast(
            athlete_id=row.athlete_id,
            made_on=row.made_on,
            target_day=row.target_day,
            until_day=row.until_day,
            event_id=row.event_id,
            model=row.model,
            p=round(row.p, DIGITS),
            low=round(row.low, DIGITS),
            high=round(row.high, DIGITS),
            p_skin=round(row.p_skin, DIGITS),
            told=[[round(value, 2) for value in scale] for scale in row.told],
            made_at=now,
            afterwards=afterwards,
        )
        for row in rows
    ]
    if afterwards:
        insert_new(fresh, ONCE)
    else:
        upsert(fresh, ONCE)


def kept_of(athlete_ids: Sequence[int], first_target: date) -> list[KeptRow]:
    """Forecasts of the athletes for days from that one on, by day made. One query."""
    rows = KeptForecast.objects.filter(athlete_id__in=athlete_ids, target_day__gte=first_target)
    columns = ("athlete_id", "made_on", "target_day", "until_day", "model", "p", "low", "high", "p_skin")
    found = list(
        rows.order_by("made_on", "athlete_id", "target_day", "event_id")
        .annotate(text=Cast("told", TextField()))
        .values_list(*columns, "text", "event_id", "afterwards")
    )
    told = json.loads("[" + ",".join(row[-3] for row in found) + "]")  # at once: a page reads thousands
    return [
        KeptRow(*row[:-3], (tuple(said[0]), tuple(said[1])), *row[-2:]) for row, said in zip(found, told, strict=True)
    ]
