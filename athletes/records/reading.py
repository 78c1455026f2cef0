"""In which language a person reads pages, and on which day their week begins."""

from __future__ import annotations

from athletes.records.models import Person


def choose(person_id: int, language: str, first_weekday: str) -> None:
    """Keep both for the person; "" is what their browser asks for. Codes are those of `choices`."""
    Person.objects.filter(id=person_id).update(language=language, first_weekday=first_weekday)
