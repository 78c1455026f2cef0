"""When what phones delivered is dropped, until when a word of two speakers counts, and who a minor's guardians are."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace

import pytest
import time_machine

from athletes.records import access, access_words, consents, retention
from athletes.records.models import Delivery, Role
from coaching.usecases import retention as kept
from coaching.usecases import who_sees
from tests import stored


@pytest.mark.django_db
def test_a_delivery_goes_once_its_term_is_over_and_not_before() -> None:
    row = stored.athletes(["a1"], stored.squad())[0]
    over = timedelta(days=retention.DELIVERIES_DAYS)
    for seq, arrived in enumerate((stored.NOW, stored.NOW - over, stored.NOW - over - timedelta(seconds=1))):
        Delivery.objects.create(athlete=row, kind="tap", about="t", device="d", seq=seq, arrived_at=arrived)
    with time_machine.travel(stored.NOW, tick=False):
        kept.keep_terms(dry=False)
    assert sorted(Delivery.objects.values_list("seq", flat=True)) == [0, 1]


def word(by: str, until: date) -> SimpleNamespace:
    return SimpleNamespace(by=by, until=until, given_on=stored.TODAY)


LATER, SOONER = stored.TODAY + timedelta(days=90), stored.TODAY + timedelta(days=30)
FAR = stored.TODAY + timedelta(days=9999)


@pytest.mark.parametrize(
    ("words", "minor", "ends"),
    [
        ([("self", LATER), ("guardian", SOONER)], True, SOONER),
        ([("self", SOONER), ("self", LATER), ("guardian", LATER)], True, LATER),  # each speaker's own last end
        ([("both", LATER), ("self", SOONER)], True, LATER),
        ([("both", SOONER), ("self", LATER)], True, SOONER),  # then no guardian speaks any more
        ([("both", SOONER), ("self", LATER), ("guardian", LATER)], True, LATER),
        ([("both", SOONER), ("self", LATER)], False, LATER),  # of age: the own word is enough
        ([("self", SOONER), ("guardian", LATER)], False, SOONER),
        ([("self", FAR)], False, stored.TODAY + timedelta(days=access_words.LONGEST_DAYS)),
    ],
)
def test_words_count_as_long_as_they_are_enough(words: list[tuple[str, date]], minor: bool, ends: date) -> None:
    assert who_sees._until([word(by, until) for by, until in words], minor) == ends


@pytest.mark.django_db
def test_a_minors_guardians_are_named_and_nobody_elses() -> None:
    squad = stored.squad()
    young, other = stored.athletes(["a1", "a2"], squad)
    born = stored.TODAY.replace(year=stored.TODAY.year - 15)
    for row, name in ((young, "Bo Own"), (other, "Cy Other")):
        row.birth_date = born
        row.save()
        person = stored.login("guardian", None, [row]).person
        person.name = name
        person.save()
    assert Role.objects.filter(role="guardian").count() == 2
    ref = next(one for one in access.refs_visible(access.OPERATOR(stored.TODAY)) if one.id == young.id)
    assert consents.guardians(ref) == ["Bo Own"]
