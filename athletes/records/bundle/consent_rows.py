"""Words of consent as one row each, the day they were taken back beside the day they were given.

A row of the file says that somebody sees something, and not who spoke. So only what was in force is written: of an
athlete under 18 the time for which both the athlete's and a guardian's word stood; and never a word that was meant for
one person alone, because the file would hand it to everybody in the role.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db.models import Q

from athletes.records.access_words import is_minor
from athletes.records.bundle.columns import Row
from athletes.records.models import Consent

COLUMNS = ("athlete__code", "grantee_role", "data_class", "purpose", "given_on", "until", "ended_by__given_on")
Time = tuple[date, date | None, date | None]
"""Given on, until, taken back on."""


def stored(where: Q) -> list[Row]:
    """What was in force, of the athletes asked for."""
    found: list[Row] = []
    halves: dict[Row, dict[str, list[Time]]] = defaultdict(lambda: defaultdict(list))
    rows = Consent.objects.filter(where, ends__isnull=True, grantee_person__isnull=True).order_by("id")
    for *row, grantor, born in rows.values_list(*COLUMNS, "grantor_role", "athlete__birth_date"):
        if grantor == "both" or (grantor == "self" and not is_minor(born, row[4])):
            found.append(tuple(row))
        elif is_minor(born, row[4]):
            halves[tuple(row[:4])][grantor].append((row[4], row[5], row[6]))
    for key, spoken in halves.items():
        found += [(*key, *time) for time in _together(spoken["self"], spoken["guardian"])]
    return found


def _together(own: Iterable[Time], guardians: Iterable[Time]) -> Iterable[Time]:
    """The times for which two words both stood."""
    guardians = list(guardians)
    for given, until, back in own:
        for other_given, other_until, other_back in guardians:
            first = max(given, other_given)
            last, ended = _earlier(until, other_until), _earlier(back, other_back)
            if (last is None or first <= last) and (ended is None or first < ended):
                yield first, last, ended


def _earlier(one: date | None, other: date | None) -> date | None:
    return min((day for day in (one, other) if day is not None), default=None)


def take_back(rows: Iterable[Row]) -> None:
    """Withdrawals of the rows just stored that name a day of it, each against a word that is not yet taken back."""
    for code, role, data_class, purpose, given_on, until, withdrawn_on in rows:
        if withdrawn_on is None:
            continue
        told: dict[str, Any] = {"grantee_role": role, "data_class": data_class, "purpose": purpose}
        word = (
            Consent.objects.filter(athlete__code=code, ends__isnull=True, given_on=given_on, until=until, **told)
            .filter(ended_by__isnull=True, method="bundle")
            .order_by("-id")[0]
        )
        Consent.objects.create(athlete_id=word.athlete_id, given_on=withdrawn_on, ends=word, **told)
