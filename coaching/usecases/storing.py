"""The frame of every use-case that stores facts: one transaction, the athletes marked as changed, a nudge after it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext

from athletes.records.access import AthleteRef
from athletes.records.errors import BadInput
from coaching.ledger import staleness
from coaching.usecases import clock, nudge


@contextmanager
def storing(athlete_ids: Sequence[int], at: datetime) -> Iterator[None]:
    """What is stored inside counts for these athletes.

    The marks come first: they lock the athletes' rows, so that two who tell of the same athlete come one after the
    other, and the second sees what the first has stored.
    """
    with transaction.atomic():
        staleness.raise_for(athlete_ids, at)
        yield
        nudge.after_commit(athlete_ids)


def not_to_come(field: str, day: date, athlete: AthleteRef, at: datetime) -> None:
    """Raises BadInput for a day that the athlete's calendar has not reached."""
    if day > clock.local_day(at, athlete.timezone):
        raise BadInput(field, gettext("is still to come"), day)
