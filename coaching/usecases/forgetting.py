"""What is kept for a time only, dropped once a day, however many schedulers ask."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from coaching.ledger import periods
from coaching.usecases import clock, once

JOB = "forget-keys"
PERIOD_S = 86_400


def forget_keys(settled: datetime | None = None) -> datetime:
    """Drop Idempotency-Keys that are past their time, where nobody has done so in this period (a day in UTC).

    Returns the beginning of the period, which is then settled; whoever hands it in again is spared the question. The
    mark and the work are one transaction: a day on which the work failed is begun again.
    """
    start = periods.start_of(clock.now(), PERIOD_S)
    if start != settled:
        with transaction.atomic():
            if periods.begin(JOB, start):
                once.forget_old()
    return start
