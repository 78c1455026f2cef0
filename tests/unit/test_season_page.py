"""The season through the door: whose calendar is seen, and what the page says of it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import pytest
import time_machine
from django.test import Client

from athletes.records import access
from athletes.records.models import Account, Athlete, Away, Care, Entry, Event, Session
from coaching.usecases.season import WEEKS, SeasonPage, SeasonRow, season_page
from tests import stored


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


class Squad:
    """The first shares all, the second the level, the third nothing; all three are entered."""

    def __init__(self) -> None:
        self.squad = stored.squad()
        self.rows = stored.athletes(["a01", "a02", "a03"], self.squad)
        stored.share(self.rows[:1])
        stored.share(self.rows[1:2], ["level"])
        self.event = stored.event()
        Entry.objects.bulk_create([Entry(event=self.event, athlete=row) for row in self.rows])
        for row in self.rows:
            self.fill(row)
        self.coach, self.manager = (stored.login(role, self.squad) for role in ("head-coach", "manager"))

    def fill(self, row: Athlete) -> None:
        first = self.event.first_day
        Away.objects.create(athlete=row, first_day=first, last_day=first, kind="illness")
        Care.objects.bulk_create(
            Care(athlete=row, local_date=first - timedelta(days=n), status="planned", verb="dry",
                 form="methenamine spray") for n in (3, 4, 15)
        )  # fmt: skip
        for n, surface in ((1, "sharp rock"), (2, "plastic"), (20, "fine rock")):
            Session.objects.create(
                athlete=row, local_date=first - timedelta(days=n), planned=True, minutes=60, surface=surface
            )


def page(account: Account, start: date | None = None) -> SeasonPage:
    return season_page(access.viewer_for(account, stored.TODAY), start)


def row(found: SeasonPage, code: str) -> SeasonRow:
    return next(one for one in found.rows if one.athlete.code == code)


@pytest.mark.django_db
def test_a_season_is_cut_to_what_is_shared() -> None:
    squad = Squad()
    found = page(squad.coach)
    assert [one.athlete.code for one in found.rows] == ["a01", "a02"]
    level = row(found, "a02")
    assert level.events and not (level.away or level.courses or level.rock or level.rest or level.clashes)
    assert client(squad.coach).get("/season").content.decode().count("a03") == 0


@pytest.mark.django_db
def test_a_whole_row_has_its_courses_rock_and_clashes() -> None:
    squad = Squad()
    mine = row(page(squad.coach), "a01")
    assert [(one.first, one.last) for one in mine.courses] == [
        (squad.event.first_day - timedelta(days=15),) * 2,  # eleven days before the next: a course of its own
        (squad.event.first_day - timedelta(days=4), squad.event.first_day - timedelta(days=3)),
    ]
    assert [one.surface for one in mine.rock] == ["fine rock", "sharp rock"]
    assert {one.code for one in mine.clashes} >= {"away", "rough"}
    assert any((last - first).days > 7 for first, last in mine.rest)


@pytest.mark.django_db
def test_weeks_begin_on_monday_and_any_day_asked_for_is_answered() -> None:
    squad = Squad()
    found = page(squad.coach, date(2027, 6, 2))
    assert found.first == date(2027, 5, 31) and found.first.weekday() == 0
    assert (found.last - found.first).days == 7 * WEEKS - 1 and not found.events
    for asked in ("nonsense", "9999-12-31", "2027-02-30", ""):
        assert client(squad.coach).get(f"/season?from={asked}").status_code == 200


@pytest.mark.django_db
def test_only_those_with_a_coaching_role_find_it() -> None:
    squad = Squad()
    assert client(squad.manager).get("/season").status_code == 200
    assert client(stored.login("athlete", squad.squad, squad.rows[:1])).get("/season").status_code == 404
    assert Client().get("/season").status_code == 404


@pytest.mark.django_db
def test_names_are_never_markup() -> None:
    squad = Squad()
    Event.objects.update(name="<b>Cup</b>")
    Athlete.objects.filter(code="a01").update(name="<i>A</i>")
    shown = client(squad.coach).get("/season").content.decode()
    assert "<b>Cup" not in shown and "<i>A" not in shown


def client(account: Account) -> Client:
    found = Client()
    found.force_login(account)
    return found
