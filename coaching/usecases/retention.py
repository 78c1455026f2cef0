"""What is past its time goes: once a day, and first as a list of what would go."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from athletes.records import consents, retention
from coaching.ledger import dropping, periods
from coaching.usecases import clock, erase, once

JOB = "retention"
PERIOD_S = 86_400
ERASE_JOB = "erase-due"
ERASE_PERIOD_S = 3_600


@dataclass(frozen=True)
class Gone:
    """How many rows went, or would, by the term of the register."""

    counts: dict[str, int]
    dry: bool


def daily(settled: datetime | None = None) -> datetime:
    """Every term of the register, once a day (UTC) for however many schedulers; returns the day that is settled."""
    start = periods.start_of(clock.now(), PERIOD_S)
    if start != settled:
        with transaction.atomic():
            if periods.begin(JOB, start):
                keep_terms(dry=False)
    return start


def hourly(settled: datetime | None = None) -> datetime:
    """Erase whoever asked for it and whose time to take it back is over; every hour, by one scheduler."""
    start = periods.start_of(clock.now(), ERASE_PERIOD_S)
    if start != settled and periods.begin(ERASE_JOB, start):
        erase.erase_due(clock.now())
    return start


def keep_terms(dry: bool) -> Gone:
    """Drop what is past its time; with `dry` only count it. Also ends what ends at an eighteenth birthday."""
    now = clock.now()
    idle = retention.inactive(now)
    counts = {term: retention.past(term, now, dry) for term in retention.TERMS}
    if not dry:
        counts["activity"] += dropping.of_athletes(idle)
        counts["keys"] = once.forget_old()
        counts["of-age"] = consents.end_those_of_minors(now.date(), now)
    return Gone(counts, dry)


