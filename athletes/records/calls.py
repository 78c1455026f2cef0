"""Whom an athlete wants called where there is no signal to look anything up."""

from __future__ import annotations

from collections.abc import Iterable

from athletes.records.access import AthleteRef
from athletes.records.models import WhomToCall

Line = tuple[str, str]
"""A name and a number."""


def of(athlete: AthleteRef) -> list[Line]:
    """In the order that the athlete gave."""
    rows = WhomToCall.objects.filter(athlete_id=athlete.id).order_by("ordinal")
    return list(rows.values_list("name", "number"))


def put(athlete: AthleteRef, lines: Iterable[Line]) -> None:
    """These and no others; within the caller's transaction."""
    WhomToCall.objects.filter(athlete_id=athlete.id).delete()
    found = [WhomToCall(athlete_id=athlete.id, ordinal=n, name=a, number=b) for n, (a, b) in enumerate(lines)]
    WhomToCall.objects.bulk_create(found)
