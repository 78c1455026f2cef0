"""Rows sent many at once read back as they were given, and one that agrees in its key takes the other's place."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest

from coaching.ledger.many import insert, upsert
from coaching.ledger.models import Conclusion

NOW = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)
ODD = {"text": 'quotes " and \\ and % and %s, \t, \n, é, 手', "none": None, "list": [0.1, 1e-12, {"deep": True}]}


def row(athlete_id: int, **other: Any) -> Conclusion:
    said: dict[str, Any] = {"model": "m", "rulebook": "r", "inputs_digest": "", "input_rev": 1, "computed_at": NOW}
    said |= {"medical": "none", "may_climb": "yes", "known_until": None, "body": ODD, "picture": {}}
    return Conclusion(athlete_id=athlete_id, as_of=date(2026, 3, 2), **(said | other))


@pytest.mark.django_db
def test_values_read_back_as_they_were_given() -> None:
    insert([row(1), row(2, known_until=date(2026, 3, 1))])
    one, two = Conclusion.objects.order_by("athlete_id")
    assert (one.body, one.known_until, one.computed_at) == (ODD, None, NOW)
    assert (two.picture, two.known_until, two.as_of) == ({}, date(2026, 3, 1), date(2026, 3, 2))


@pytest.mark.django_db
def test_the_later_row_takes_the_place_of_the_earlier() -> None:
    upsert([row(1), row(2)], once=("athlete_id", "as_of"))
    upsert([row(2, input_rev=2, body={}), row(3)], once=("athlete_id", "as_of"))
    stored = Conclusion.objects.order_by("athlete_id").values_list("athlete_id", "input_rev", "body")
    assert list(stored) == [(1, 1, ODD), (2, 2, {}), (3, 1, ODD)]


@pytest.mark.django_db
def test_no_rows_are_no_statement(django_assert_num_queries: Any) -> None:
    with django_assert_num_queries(0):
        insert([])
        upsert([], once=("athlete_id", "as_of"))
