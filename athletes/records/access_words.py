"""Which words of consent stand on a day: given, not over, not taken back, and spoken by whom it takes.

Under 18 it takes two, the athlete and a guardian, whatever the country's age for a child's own word: these are data of
health. At 18 whatever was given before ends, and the athlete is asked anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from typing import Any

from django.db.models import Q

from athletes.records.models import Consent

FULL_AGE_YEARS = 18
LONGEST_DAYS = 365
"""No word holds for longer, whatever it says itself."""
Word = tuple[int, str, str, str, str, Any]
"""Key of the athlete, role, class of data, purpose, who spoke, and the day as a date or as ISO 8601."""


def age_years(birth_date: date | None, today: date) -> int | None:
    """Whole years of age; None where the birth date is not known."""
    if birth_date is None:
        return None
    return today.year - birth_date.year - ((today.month, today.day) < (birth_date.month, birth_date.day))


def is_minor(birth_date: date | None, today: date) -> bool:
    """Under 18. Somebody whose age is not known is not taken for a child: no guardian sees them."""
    age = age_years(birth_date, today)
    return age is not None and age < FULL_AGE_YEARS


def of_age_on(born: date | None) -> date | None:
    """The eighteenth birthday, on 1 March for 29 February; None where the birth date is not known."""
    if born is None:
        return None
    try:
        return born.replace(year=born.year + FULL_AGE_YEARS)
    except ValueError:
        return date(born.year + FULL_AGE_YEARS, 3, 1)


def live(today: date, athlete_ids: Any, person_id: int | None) -> Any:
    """Rows of words that hold on the day, to whole roles or to this very person, as `Word`s not yet asked for."""
    not_over = Q(until__isnull=True) | Q(until__gte=today)
    not_taken_back = Q(ended_by__isnull=True) | Q(ended_by__given_on__gt=today)
    meant_for = Q(grantee_person__isnull=True)
    if person_id is not None:
        meant_for |= Q(grantee_person=person_id)
    rows = Consent.objects.filter(
        not_over,
        not_taken_back,
        meant_for,
        ends__isnull=True,
        athlete_id__in=athlete_ids,
        given_on__range=(today - timedelta(days=LONGEST_DAYS), today),
    )
    return rows.values_list("athlete_id", "grantee_role", "data_class", "purpose", "grantor_role", "given_on")


def standing(
    words: Iterable[Word], born: Mapping[int, date | None], today: date
) -> Iterator[tuple[int, str, str, str]]:
    """(key of the athlete, role, class, purpose) of live words that enough people have spoken."""
    of_age = {athlete_id: of_age_on(day) for athlete_id, day in born.items()}
    as_text = {athlete_id: str(day) for athlete_id, day in of_age.items() if day is not None and day <= today}
    half: dict[tuple[int, str, str, str], set[str]] = {}
    for athlete_id, role, data_class, purpose, grantor, given_on in words:
        key = (athlete_id, role, data_class, purpose)
        day = of_age.get(athlete_id)
        if day is not None and today < day:
            spoken = half.setdefault(key, set())
            spoken |= {"self", "guardian"} if grantor == "both" else {grantor}
            if len(spoken) == 2:
                yield key
        elif grantor != "guardian" and str(given_on) >= as_text.get(athlete_id, ""):
            yield key
