"""Who read what: written before the answer leaves, read by the athlete, and asked of for a stretch of time."""

from __future__ import annotations

from datetime import datetime

from athletes.records import access, consents, reads
from athletes.records.access_seen import Seen
from athletes.records.reads import CouldRead, Read
from athletes.records.viewer import Viewer
from coaching.usecases import clock

SHOWN = 500
"""Requests that the athlete's page goes back over, newest first."""


def write(viewer: Viewer, seen: Seen, what: str, method: str, program: bool) -> None:
    """One row for this request, and those of its scope where it is a new one."""
    if seen:
        reads.write(viewer, seen, reads.Request(clock.now(), what, method, program))


def of_athlete(viewer: Viewer, code: str | None) -> tuple[access.AthleteRef, tuple[Read, ...]]:
    """The last requests in which somebody else could read of the athlete; for themselves, or a minor's guardian.
    Raises NotFound.
    """
    athlete = consents.subject(viewer, code)
    return athlete, reads.of_athlete(athlete.id, SHOWN)


def between(first: datetime, last: datetime, code: str | None = None, username: str | None = None) -> CouldRead:
    """Who read, and who could have, from `first` to `last`, of one athlete or by one account or both; as the operator.

    Raises NotFound for an athlete or account that is not there.
    """
    return reads.between(first, last, code, username)
