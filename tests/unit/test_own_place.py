"""The athlete's own pages of places: own fingers, own days, own cost; nobody else's, and a doctor before the hours."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest
import time_machine
from django.test import Client

from athletes.records import access
from athletes.records.models import Account, Air, CheckIn, Place, Session
from athletes.records.queries_past_air import past_sessions
from coaching.ledger.models import Conclusion
from coaching.science.air.windows import LEAST_SESSIONS
from coaching.usecases import day_cost
from coaching.usecases.day_at_place import day_at_place, own_day
from coaching.usecases.shown_air import DayAtPlace
from tests import stored

CRAG = {
    "name": "Crag", "lat": 47.0, "lon": 14.0, "altitude_m": 900, "kind": "crag", "rock": "granite", "face_deg": 120,
    "exposure": "open",
}  # fmt: skip


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


class Crag:
    """Two athletes; the first has climbed at p1 on so many days with air, every third limited by skin."""

    def __init__(self, days: int = 12, starts_h: int | None = 14) -> None:
        self.squad = stored.squad()
        self.rows = stored.athletes(["a01", "a02"], self.squad)
        stored.share(self.rows)
        self.event = stored.event()
        stored.conclude(self.rows, self.event)
        self.places = [Place.objects.create(**{**CRAG, "code": f"p{n}"}) for n in (1, 2)]
        for n in range(1, days + 1):
            day = stored.TODAY - timedelta(days=n)
            self.breathe(datetime(day.year, day.month, day.day, tzinfo=UTC))
            for row in self.rows:
                started = None if starts_h is None else datetime(day.year, day.month, day.day, starts_h, tzinfo=UTC)
                Session.objects.create(
                    athlete=row, local_date=day, planned=False, place=self.places[0], skin_limited=n % 3 == 0,
                    minutes=90, rpe=6, started_at=started,
                )  # fmt: skip
        self.breathe(datetime(stored.TODAY.year, stored.TODAY.month, stored.TODAY.day, tzinfo=UTC))
        self.athlete = stored.login("athlete", over=self.rows[:1])
        self.coach = stored.login("head-coach", self.squad)

    def breathe(self, day: datetime) -> None:
        """Hourly air that warms from 4 to 15.5 C over a day."""
        hours = [day + timedelta(hours=h) for h in range(24)]
        issued = stored.NOW - timedelta(hours=3)
        Air.objects.bulk_create(
            Air(place=self.places[0], starts_at=at, temp_c=4 + at.hour / 2, rh_pct=55, wind_m_s=3, wind_from_deg=20,
                known_at=None if at <= stored.NOW else issued)
            for at in hours
        )  # fmt: skip


def client(account: Account) -> Client:
    found = Client()
    found.force_login(account)
    return found


def own(crag: Crag, **asked: Any) -> DayAtPlace:
    return own_day(access.viewer_for(crag.athlete, stored.TODAY), "p1", **asked)


@pytest.mark.django_db
def test_the_athlete_reads_the_day_against_their_own_days_and_nobody_elses() -> None:
    crag = Crag()
    day = own(crag)
    assert (day.whose.code, day.whose.looks, day.whose.sessions, day.whose.squad_sessions) == ("a01", True, 12, 0)
    assert day.athletes == () and all(hour.squad == (0, 0) for hour in day.hours)
    counted = [hour.own for hour in day.hours if hour.own[1]]
    assert counted and all(good <= count <= 12 for good, count in counted)
    page = client(crag.athlete).get("/me/places/p1")
    said = page.content.decode()
    assert page.status_code == 200 and "Own history first (12 sessions with air, 12 by the hour)" in said
    assert "squad" not in said and "your finger" in said and "own days, good of all" in said


@pytest.mark.django_db
def test_under_ten_sessions_say_so_and_show_no_own_lane() -> None:
    crag = Crag(days=LEAST_SESSIONS - 1)
    said = client(crag.athlete).get("/me/places/p1").content.decode()
    assert "Under ten sessions with air (9 so far): physics first." in said and "Own days" not in said


@pytest.mark.django_db
def test_own_pages_hold_own_places_and_no_others() -> None:
    crag = Crag()
    asked = client(crag.athlete)
    listed = asked.get("/me/places").content.decode()
    assert "/me/places/p1" in listed and "/me/places/p2" not in listed
    assert [asked.get(f"/me/places/{code}").status_code for code in ("p2", "zz")] == [404, 404]
    assert asked.get("/me/places/p1?for=a02").status_code == 404
    assert asked.get("/me/places/p1?day=2027-02-31").status_code == 200


@pytest.mark.django_db
def test_the_athletes_units_are_their_own_choice() -> None:
    crag = Crag()
    asked = client(crag.athlete)
    assert "°C" in asked.get("/me/places/p1").content.decode()
    kept = asked.post("/me/places", {"action": "units", "temperature": "F", "wind": "kn"})
    assert (kept.status_code, kept["Location"]) == (302, "/me/places")
    page = asked.get("/me/places/p1").content.decode()
    assert "°F" in page and " kn" in page and "°C" not in page
    assert "°C" in client(crag.coach).get("/places/p1").content.decode()
    assert asked.post("/me/places", {"temperature": "K", "wind": "kn"}).status_code == 422
    assert asked.post("/me/places?for=a02", {"temperature": "C", "wind": "kn"}).status_code == 404


@pytest.mark.django_db
def test_a_session_counts_by_the_air_of_its_hours_and_else_by_its_day() -> None:
    """14 to 15:30 o'clock at 4 + h/2 C is 11.0 to 11.5 C; the day counts from 8 to 20 o'clock: 8 to 13.5, 10.75 C."""
    crag = Crag()
    refs = access.refs_visible(access.viewer_for(crag.coach, stored.TODAY), "checkins")
    found = past_sessions(refs, stored.TODAY)
    assert all(one.hourly for one in found)
    assert np.ptp([one.temp_c for one in found]) < 1e-9 and found[0].temp_c == pytest.approx(11.25, abs=0.26)
    Session.objects.update(started_at=None)
    by_day = past_sessions(refs, stored.TODAY)
    assert not any(one.hourly for one in by_day) and by_day[0].temp_c == pytest.approx(10.75)
    gone = datetime(2026, 1, 1, tzinfo=UTC)  # started where no reading is near: the day counts
    Session.objects.update(started_at=gone)
    assert not any(one.hourly for one in past_sessions(refs, stored.TODAY))


@pytest.mark.django_db
def test_a_sign_that_a_doctor_must_judge_comes_before_the_hours() -> None:
    crag = Crag()
    Conclusion.objects.update(medical="today")
    day = own(crag)
    assert day.whose.verdict == "medical" and all(one.cost and not one.cost.own for one in day.windows)
    said = client(crag.athlete).get("/me/places/p1").content.decode()
    assert "No climbing for you before a doctor has looked" in said and "Best from" not in said
    coach = client(crag.coach).get("/places/p1?athlete=a01").content.decode()
    assert "before a doctor has looked" in coach


@pytest.mark.django_db
def test_the_cost_is_the_athletes_own_and_grows_with_hours_and_rougher_rock() -> None:
    crag = Crag()
    day = day_at_place(access.viewer_for(crag.coach, stored.TODAY), "p1", athlete_code="a01")
    assert day.windows and all(one.cost and one.cost.own and one.cost.morning_pt for one in day.windows)
    ref = crag.rows[0].id
    found = day_cost.of_athlete(ref, stored.TODAY, stored.TODAY, "sharp rock", [2.0, 4.0, 2.0])
    plastic = day_cost.of_athlete(ref, stored.TODAY, stored.TODAY, "plastic", [4.0])
    assert sorted(found) == [2.0, 4.0]
    low, high = found[4.0].reserve_pt
    assert 0 < low < high and found[2.0].reserve_pt[1] == pytest.approx(high / 2) and plastic[4.0].reserve_pt[1] < high
    assert 0 < found[4.0].days_back[0] <= found[4.0].days_back[1] < 30
    event = found[4.0].event
    assert event is not None and event.name == crag.event.name and event.after <= event.rested
    assert day_cost.of_athlete(ref, stored.TODAY, stored.YESTERDAY, "plastic", [4.0]) == {}
    assert day_cost.of_athlete(ref, stored.TODAY, stored.TODAY, "", [4.0]) == {}


@pytest.mark.django_db
def test_skin_that_answers_wore_out_costs_more_than_skin_that_did_not() -> None:
    """The same loads, one athlete's reserve falling after each and the other's not: their own wear tells them apart."""
    crag = Crag(days=24)
    for n in range(24, 0, -1):
        day = stored.TODAY - timedelta(days=n)
        worn = {crag.rows[0].id: 5 if n % 2 else 2, crag.rows[1].id: 8}
        CheckIn.objects.bulk_create(
            CheckIn(athlete=row, local_date=day, reserve=worn[row.id], made_at=stored.NOW - timedelta(days=n))
            for row in crag.rows
        )
        if n % 2 == 0:
            Session.objects.filter(local_date=day).delete()
    hard, easy = (
        day_cost.of_athlete(row.id, stored.TODAY, stored.TODAY, "plastic", [3.0])[3.0] for row in crag.rows
    )
    assert sum(hard.reserve_pt) > sum(easy.reserve_pt)
