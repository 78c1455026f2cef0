"""The database itself refuses what cannot be: raw SQL is used where the models would step in."""

from __future__ import annotations

import math
from datetime import UTC, date, datetime

import pytest
from django.db import DataError, IntegrityError, connection

from athletes.records.models import Air, Athlete, Away, CheckIn, Event, Person, Place, Role, Session

pytestmark = pytest.mark.django_db
DAY = date(2027, 3, 10)
AT = datetime(2027, 3, 10, 12, tzinfo=UTC)


@pytest.fixture
def athlete() -> Athlete:
    return Athlete.objects.create(code="a1", name="Ayo")


def raw_checkin(athlete: Athlete, reserve: object) -> None:
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO records_checkin (athlete_id, local_date, reserve, marks, red_flags, note)"
            " VALUES (%s, %s, %s, '[]', '[]', '')",
            [athlete.id, DAY, reserve],
        )


@pytest.mark.parametrize("reserve", [11, -1, math.inf])
def test_a_rating_outside_0_to_10_is_refused(athlete: Athlete, reserve: float) -> None:
    """By the range; PostgreSQL has no whole number for infinity and says so before it looks at the range."""
    with pytest.raises((IntegrityError, DataError), match="checkin_reserve_range|smallint out of range"):
        raw_checkin(athlete, reserve)


def test_a_second_checkin_of_a_day_is_refused(athlete: Athlete) -> None:
    raw_checkin(athlete, 5)
    with pytest.raises(IntegrityError):
        raw_checkin(athlete, 5)


def test_a_number_that_is_none_never_becomes_a_number(athlete: Athlete) -> None:
    """PostgreSQL refuses NaN by BETWEEN; SQLite has no NaN and takes it for NULL: not known, never nought."""
    if connection.vendor == "sqlite":
        Session.objects.create(athlete=athlete, local_date=DAY, planned=False, minutes=math.nan)
        assert Session.objects.get().minutes is None
    else:
        with pytest.raises(IntegrityError, match="session_minutes_range"):
            Session.objects.create(athlete=athlete, local_date=DAY, planned=False, minutes=math.nan)


@pytest.mark.parametrize("temp_c", [math.nan, math.inf, -math.inf, 61])
def test_air_is_finite(temp_c: float) -> None:
    place = Place.objects.create(code="p1", name="Hall")
    with pytest.raises(IntegrityError):
        Air.objects.create(place=place, starts_at=AT, temp_c=temp_c, rh_pct=50)


def test_the_first_day_is_not_after_the_last(athlete: Athlete) -> None:
    with pytest.raises(IntegrityError, match="away_first_day_before_last_day"):
        Away.objects.create(athlete=athlete, first_day=DAY, last_day=date(2027, 3, 9), kind="travel")


def test_an_event_ends_no_earlier_than_it_begins() -> None:
    with pytest.raises(IntegrityError, match="event_first_day_before_last_day"):
        Event.objects.create(
            code="e", name="E", kind="trip", first_day=DAY, last_day=date(2027, 3, 9), timezone="UTC"
        )


def test_a_role_without_a_squad_is_held_once_too() -> None:
    person = Person.objects.create(code="p", name="P")
    Role.objects.create(person=person, role="support")
    with pytest.raises(IntegrityError):
        Role.objects.create(person=person, role="support")


def test_a_guardian_is_somebodys() -> None:
    person = Person.objects.create(code="p", name="P")
    with pytest.raises(IntegrityError, match="role_of_an_athlete_names_one"):
        Role.objects.create(person=person, role="guardian")


def test_a_code_that_is_none_of_ours_is_refused(athlete: Athlete) -> None:
    with pytest.raises(IntegrityError, match="session_surface_code"):
        Session.objects.create(athlete=athlete, local_date=DAY, planned=True, surface="lava")


def test_what_the_checks_take_the_database_takes(athlete: Athlete) -> None:
    ends = {"reserve": 0, "dampness": 10, "hardness": 0, "sting": 10, "pull_pain": 0, "rating_step": 2}
    CheckIn.objects.create(athlete=athlete, local_date=DAY, seconds=86400, **ends)
    assert CheckIn.objects.get().dampness == 10
