"""What a person reads pages in: their language and the first day of their week."""

from __future__ import annotations

from datetime import date, timedelta

from django.db import transaction

from athletes.records import choices, reading
from athletes.records.errors import NotFound
from athletes.records.viewer import Viewer

FIRST = {"": 0, "monday": 0, "saturday": 5, "sunday": 6}
"""The weekday a week begins on, 0 is Monday (ISO 8601), which also holds where nobody chose."""
LANGUAGES, FIRST_WEEKDAYS = choices.LANGUAGES, choices.FIRST_WEEKDAYS


def choose(viewer: Viewer, language: str, first_weekday: str) -> None:
    """Keep language and first weekday for this person; "" leaves it to their browser. Raises NotFound for nobody."""
    if viewer.person_id is None or language not in ("", *LANGUAGES) or first_weekday not in ("", *FIRST_WEEKDAYS):
        raise NotFound
    with transaction.atomic():
        reading.choose(viewer.person_id, language, first_weekday)


def first_weekday(viewer: Viewer) -> int:
    """The weekday on which this person's week begins, 0 is Monday."""
    return FIRST[viewer.first_weekday]


def week_of(day: date, first: int) -> date:
    """The first day of the week that holds `day`, for weeks that begin on weekday `first`."""
    return day - timedelta(days=(day.weekday() - first) % 7)
