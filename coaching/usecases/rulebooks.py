"""Which rulebook holds for whom: the one that ships, with what the athlete's club changed of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from athletes.records import queries_rules
from coaching.rules import overrides, rulebook
from coaching.rules.rulebook import Rulebook


def books_for(athlete_ids: Sequence[int], as_of: date) -> dict[int, Rulebook]:
    """The rulebook of each athlete on a day; the same changes give the same book, made once."""
    changes = queries_rules.changes_of(athlete_ids, as_of)
    shipped = rulebook.current()
    made = {found: overrides.apply(shipped, found, as_of) for found in set(changes.values())}
    return {key: made[changes[key]] if key in changes else shipped for key in athlete_ids}
