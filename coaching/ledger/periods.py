"""Which periods a job was done for, and when it last came to an end. No lock is believed, only a unique row."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from coaching.ledger.models import Period, Pulse

KEPT = timedelta(days=2)
"""A scheduler that is later than this with a period is no longer recognised; its job finds nothing to do anyway."""


def start_of(at: datetime, period_s: int) -> datetime:
    """The beginning of the period that an instant falls into, counted in UTC from 1970."""
    return datetime.fromtimestamp(int(at.timestamp()) // period_s * period_s, UTC)


def begin(job: str, period_start: datetime) -> bool:
    """True for one caller a period, who then does the work; False for all others, at once or ever after."""
    begun = Period.objects.get_or_create(job=job, period_start=period_start)[1]
    if begun:
        Period.objects.filter(job=job, period_start__lt=period_start - KEPT).delete()
    return begun


def ended(job: str, at: datetime) -> None:
    """The job came to its end, whoever did it."""
    row = Pulse(job=job, ended_at=at)
    Pulse.objects.bulk_create([row], update_conflicts=True, unique_fields=["job"], update_fields=["ended_at"])


def last_ended(job: str) -> datetime | None:
    """When that was, if ever."""
    return Pulse.objects.filter(job=job).values_list("ended_at", flat=True).first()
