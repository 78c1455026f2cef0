"""The frame of every use-case that stores facts: one transaction, the athletes marked as changed, a nudge after it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext

from athletes.records.access import AthleteRef
from athletes.records.errors import BadInput
from athletes.records.inserting import Statement
from coaching.ledger import staleness
from coaching.usecases import clock, nudge, once


@contextmanager
def storing(athlete_ids: Sequence[int], at: datetime) -> Iterator[None]:
    """What is stored inside counts for these athletes.

    The marks come first: they lock the athletes' rows, so that two who tell of the same athlete come one after the
    other, and the second sees what the first has stored. Under an Idempotency-Key the frame of the key is this one's
    too: what is raised here ends both.
    """
    with _frame(athlete_ids):
        staleness.raise_for(athlete_ids, at)
        yield


@contextmanager
def storing_with_mark(athlete_id: int, at: datetime) -> Iterator[Statement]:
    """The same for one athlete, with the mark not made but yielded: it goes before the fact in one round trip."""
    with _frame([athlete_id]):
        yield Statement(*staleness.raising([athlete_id], at))


@contextmanager
def _frame(athlete_ids: Sequence[int]) -> Iterator[None]:
    with transaction.atomic(savepoint=not once.answering()):
        yield
        nudge.after_commit(athlete_ids)


def not_to_come(field: str, day: date, athlete: AthleteRef, at: datetime, last_day: date | None = None) -> None:
    """Raises BadInput for a day that the athlete's calendar has not reached: at home, or where they are by now."""
    if day > (last_day or clock.local_day(at, athlete.timezone)):
        raise BadInput(field, gettext("is still to come"), day)
