"""Make anew whatever is derived from the records: for an operator who doubts it, or who has restored a backup."""

from __future__ import annotations

from datetime import datetime

from athletes.records import access
from coaching.ledger import derived
from coaching.usecases.storing import storing


def rebuild(now: datetime) -> tuple[int, int]:
    """Drop packed histories and kept mornings and mark everybody for a pass from the records alone; how many rows went
    and how many athletes wait. Conclusions stand until the new ones do; no fact and no kept forecast is touched.
    """
    everybody = [ref.id for ref in access.refs_visible(access.OPERATOR(now.date()))]
    with storing(everybody, now):
        return derived.throw_away(), len(everybody)
