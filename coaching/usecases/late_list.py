"""What the operator of an installation sees of the computation: who waits, since when, and what was given up, why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from athletes.records import access
from coaching.ledger import staleness
from coaching.usecases import nudge


@dataclass(frozen=True)
class LateAthlete:
    code: str
    since: datetime
    attempts: int
    state: str
    """`waits`, `in-hand`, `rests` (after a failure) or `given-up`."""
    failure: str
    """What the last attempt failed with; empty for one that ended its process, or for none."""


def late_list(now: datetime) -> list[LateAthlete]:
    """All athletes whose conclusions are out of date, the longest waiting first."""
    codes = {ref.id: ref.code for ref in access.refs_visible(access.OPERATOR(now.date()))}
    found = staleness.late(now)
    return [
        LateAthlete(codes[row.athlete_id], row.since, row.attempts, _state(row), row.failure)
        for row in found
        if row.athlete_id in codes
    ]


def _state(row: staleness.Late) -> str:
    if row.given_up:
        return "given-up"
    if row.free_at is None:
        return "waits"
    return "rests" if row.failure else "in-hand"


def retry(athlete_codes: Sequence[str] | None, now: datetime) -> int:
    """Try again what was given up or rests: of these athletes, or of all; returns how many that are.

    Raises NotFound for a code that is not in the records.
    """
    if athlete_codes is None:
        ids = None
    else:
        operator = access.OPERATOR(now.date())
        ids = [access.athlete_by_code(operator, code).id for code in athlete_codes]
    freed = staleness.retry(ids, now)
    nudge.after_commit(ids or [])
    return freed
