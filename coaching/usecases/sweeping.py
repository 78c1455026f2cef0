"""The sweep of a period: whatever was missed is found here. However many schedulers ask, each period has one sweep."""

from __future__ import annotations

from django.conf import settings

from coaching.ledger import periods
from coaching.usecases import clock, recompute

SHARE = 0.75
"""Part of a period that a sweep may compute for; what is left then is the next one's."""


def sweep(owner: str = "") -> int | None:
    """Compute what waits, for as long as the period allows; None where this period's sweep was begun already."""
    period_s: int = settings.TENPADS_SWEEP_S
    if not periods.begin(recompute.SWEEP, periods.start_of(clock.now(), period_s)):
        return None
    return recompute.drain(budget_s=SHARE * period_s, owner=owner)
