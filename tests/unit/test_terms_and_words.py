"""When what phones delivered is dropped, and when nobody is asked, until when a word of two speakers counts, and who a
minor's guardians are.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import time_machine

from athletes.records import access, access_words, consents, retention
from athletes.records.models import Athlete, CheckIn, Consent, Delivery, ErasureAsked, Role, Session
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


@pytest.mark.django_db
def test_terms_are_kept_on_the_days_first_call_and_a_later_call_of_that_day_asks_nothing(
    django_assert_num_queries: Any,
) -> None:
    """Whoever calls every minute and says which day is settled costs the database nothing until the next one."""
    row = stored.athletes(["a1"], stored.squad())[0]
    arrived = stored.NOW - timedelta(days=retention.DELIVERIES_DAYS, seconds=1)

    def deliver(seq: int) -> None:
        Delivery.objects.create(athlete=row, kind="tap", about="t", device="d", seq=seq, arrived_at=arrived)

    with time_machine.travel(stored.NOW, tick=False) as clock:
        deliver(1)
        settled = kept.daily()
        assert settled.date() == stored.NOW.date() and not Delivery.objects.exists()
        deliver(2)
        with django_assert_num_queries(0):
            assert kept.daily(settled) == settled
        kept.daily()  # another scheduler, which does not know yet
        assert Delivery.objects.exists()
        clock.shift(timedelta(days=1))
        assert kept.daily(settled) == settled + timedelta(days=1) and not Delivery.objects.exists()


@pytest.mark.django_db
def test_whose_hour_has_come_is_erased_on_the_hours_first_call_and_later_ones_ask_nothing(
    django_assert_num_queries: Any, tmp_path: Path, settings: Any
) -> None:
    settings.TENPADS_ERASURES = tmp_path / "erasures.jsonl"
    one, two = stored.athletes(["a1", "a2"], stored.squad())
    with time_machine.travel(stored.NOW, tick=False) as clock:
        ErasureAsked.objects.create(athlete=one, asked_at=stored.NOW, due_at=stored.NOW)
        settled = kept.hourly()
        assert Athlete.objects.get() == two
        ErasureAsked.objects.create(athlete=two, asked_at=stored.NOW, due_at=stored.NOW)
        with django_assert_num_queries(0):
            assert kept.hourly(settled) == settled
        kept.hourly()
        assert Athlete.objects.get() == two
        clock.shift(timedelta(hours=1))
        assert kept.hourly(settled) == settled + timedelta(hours=1) and not Athlete.objects.exists()


@pytest.mark.django_db
def test_whoever_told_anything_of_late_is_not_idle_whatever_else_they_stopped_telling() -> None:
    """Both ways round: the order in which tables are looked through decides nothing."""
    trained, answered, idle = stored.athletes(["a1", "a2", "a3"], stored.squad())
    long_ago = stored.TODAY - timedelta(days=retention.ACTIVITY_DAYS + 1)
    CheckIn.objects.create(athlete=trained, local_date=long_ago)
    Session.objects.create(athlete=trained, local_date=stored.TODAY, planned=False)
    CheckIn.objects.create(athlete=answered, local_date=stored.TODAY)
    Session.objects.create(athlete=answered, local_date=long_ago, planned=False)
    CheckIn.objects.create(athlete=idle, local_date=long_ago)
    Session.objects.create(athlete=idle, local_date=long_ago, planned=False)
    assert retention.inactive(stored.NOW) == [idle.pk]


@pytest.mark.django_db
def test_words_of_a_childs_time_hold_no_more_on_the_birthday_whether_the_days_job_has_run_or_not() -> None:
    rows = stored.athletes(["of age", "minor", "not known"], stored.squad())
    born = (stored.TODAY.replace(year=stored.TODAY.year - 18), stored.MINOR, None)
    told = {"grantee_role": "medical", "data_class": "level", "purpose": "medical", "given_on": stored.YESTERDAY}
    for row, day in zip(rows, born, strict=True):
        row.birth_date = day
        row.save()
        Consent(athlete=row, grantor_role="both", **told).save()
    assert [len(consents.live_words(row.pk, stored.TODAY)) for row in rows] == [0, 1, 1]
    assert [len(consents.live_words(row.pk, stored.YESTERDAY)) for row in rows] == [1, 1, 1]
    Consent(athlete=rows[0], grantor_role="guardian", **{**told, "given_on": stored.TODAY}).save()
    Consent(athlete=rows[0], grantor_role="self", **{**told, "given_on": stored.TODAY}).save()
    (own,) = consents.live_words(rows[0].pk, stored.TODAY)
    assert own.by == "self", "nobody else speaks for whoever is of age"


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
