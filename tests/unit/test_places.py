"""Places through the door: who sees which, a place's day as a page, units, and what is said where air is missing."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.core.management import call_command
from django.test import Client

from athletes.records import access
from athletes.records.errors import NotFound
from athletes.records.models import Account, Air, Athlete, Person, Place, Session, TypicalAir
from coaching.usecases.day_at_place import day_at_place
from coaching.usecases.places import add_place, places_list
from coaching.usecases.shown_air import DayAtPlace
from tests import stored

YEARS = Path(__file__).parents[2] / "fixtures/reference/air/years"
CRAG = {
    "name": "Crag <b>", "lat": 47.0, "lon": 14.0, "altitude_m": 900, "kind": "crag", "rock": "granite",
    "face_deg": 120, "skyline_deg": 5, "coast_deg": 200, "exposure": "open",
}  # fmt: skip


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


class Crag:
    """Two athletes of whom the second shares nothing; the first competes at p1 and climbs at p2, the second at p3."""

    def __init__(self) -> None:
        self.squad = stored.squad()
        self.rows = stored.athletes(["a01", "a02"], self.squad)
        self.event = stored.event()
        stored.share(self.rows[:1])
        self.places = [Place.objects.create(**{**CRAG, "code": f"p{n}", "name": f"Crag <b> {n}"}) for n in (1, 2, 3, 4)]
        self.event.place = self.places[0]
        self.event.save()
        stored.conclude(self.rows[:1], self.event)
        done: dict[str, Any] = {"local_date": stored.YESTERDAY, "planned": False}
        Session.objects.create(athlete=self.rows[0], place=self.places[1], **done)
        Session.objects.create(athlete=self.rows[1], place=self.places[2], **done)
        self.coach, self.manager = (stored.login(role, self.squad) for role in ("head-coach", "manager"))

    def breathe(self, place: int = 0, days: int = 3, **changes: Any) -> None:
        """Hourly air from yesterday on, measured until now and forecast after it."""
        first = datetime(2027, 3, 10, tzinfo=UTC)
        hours = [first + timedelta(hours=h) for h in range(24 * days)]
        issued = stored.NOW - timedelta(hours=3)
        Air.objects.bulk_create(
            Air(**{"place": self.places[place], "starts_at": at, "temp_c": 6 + (at.hour - 4) % 20 / 2, "rh_pct": 55,
                   "wind_m_s": 4, "wind_from_deg": 200 if at.hour > 12 else 20,
                   "known_at": None if at <= stored.NOW else issued, **changes})
            for at in hours
        )  # fmt: skip


def client(account: Account) -> Client:
    found = Client()
    found.force_login(account)
    return found


def codes(account: Account) -> list[str]:
    return [line.place.code for line in places_list(access.viewer_for(account, stored.TODAY)).lines]


def shown(account: Account, code: str = "p1", **asked: Any) -> DayAtPlace:
    return day_at_place(access.viewer_for(account, stored.TODAY), code, **asked)


@pytest.mark.django_db
def test_a_place_is_seen_through_what_its_climbers_share() -> None:
    crag = Crag()
    assert codes(crag.coach) == ["p1", "p2"]
    stored.withdraw(athlete=crag.rows[0], data_class="checkins")
    assert codes(crag.coach) == ["p1"]  # an entry needs the level alone, a session the check-ins
    stored.withdraw(athlete=crag.rows[0])
    assert codes(crag.coach) == []


@pytest.mark.django_db
def test_a_manager_sees_places_of_events_and_none_of_training() -> None:
    crag = Crag()
    stored.share(crag.rows[:1], role="manager")
    assert codes(crag.manager) == ["p1"]


@pytest.mark.django_db
def test_who_adds_a_place_sees_it_and_nobody_else() -> None:
    crag = Crag()
    code = add_place(access.viewer_for(crag.coach, stored.TODAY), {"name": "Mine"})
    other = stored.login("head-coach", crag.squad)
    assert code in codes(crag.coach) and code not in codes(other)
    athlete = stored.login("athlete", crag.squad, crag.rows[:1])
    for viewer in (athlete, stored.login("head-coach", stored.squad("far"))):
        with pytest.raises(NotFound):
            shown(viewer, code)


@pytest.mark.django_db
def test_a_foreign_place_and_none_answer_alike() -> None:
    crag = Crag()
    for address in ("/places/{}", "/places/{}/air"):
        foreign, nobody = (client(crag.coach).get(address.format(code)) for code in ("p3", "zz"))
        assert (foreign.status_code, foreign.content) == (404, nobody.content)


@pytest.mark.django_db
def test_an_athlete_who_shares_nothing_is_neither_offered_nor_found() -> None:
    crag = Crag()
    crag.breathe()
    page = client(crag.coach).get("/places/p1").content.decode()
    assert "Athlete a01" in page and "Athlete a02" not in page
    for code in ("a02", "zz9"):
        assert client(crag.coach).get(f"/places/p1?athlete={code}").status_code == 404


@pytest.mark.django_db
def test_the_day_has_its_hours_windows_and_sources() -> None:
    crag = Crag()
    crag.breathe()
    day = shown(crag.coach)
    assert len(day.hours) == 24 and day.zone == "Europe/Stockholm" and day.day == stored.TODAY
    assert {hour.source for hour in day.hours} == {"reading", "forecast"} and day.windows
    sunny = [hour.at.hour for hour in day.hours if hour.sun_frac]
    assert sunny and max(sunny) < 15  # a face that looks to 120 degrees has lost the sun by then
    assert {hour.sea for hour in day.hours} == {0, 2}  # off the land, then off the sea
    assert all(hour.dry_s and hour.fanned_s and hour.fanned_s[1] <= hour.dry_s[1] for hour in day.hours)
    best = day.windows[0]
    assert best.cost is not None and not best.cost.own and best.cost.reserve_pt[0] < best.cost.reserve_pt[1]


@pytest.mark.django_db
def test_an_old_forecast_is_wider_and_says_so() -> None:
    crag = Crag()
    crag.breathe(days=6, known_at=datetime(2027, 3, 11, 6, tzinfo=UTC))
    near, far = (shown(crag.coach, day=stored.TODAY + timedelta(days=n)) for n in (0, 4))
    width = [max(hour.temp_spread_k for hour in day.hours) for day in (near, far)]
    assert width[0] < width[1]
    page = client(crag.coach).get("/places/p1?day=2027-03-15").content.decode()
    assert "more than three days older" in page


@pytest.mark.django_db
def test_three_hourly_air_is_drawn_through_and_longer_gaps_are_not() -> None:
    crag = Crag()
    crag.breathe()
    Air.objects.exclude(starts_at__hour__in=(0, 3, 6, 9, 12, 15, 18, 21)).delete()
    day = shown(crag.coach)
    assert {hour.source for hour in day.hours} >= {"reading", "between"} and all(
        h.temp_c is not None for h in day.hours
    )
    Air.objects.filter(starts_at__hour__in=(9, 12)).delete()
    gap = [hour.at.hour for hour in shown(crag.coach).hours if hour.temp_c is None]
    assert gap and set(gap) <= set(range(7, 16))


@pytest.mark.django_db
def test_without_air_the_page_says_what_that_costs() -> None:
    page = client(Crag().coach).get("/places/p1").content.decode()
    assert "The air of this day is not known." in page and "no drying times" in page and "<svg" not in page


@pytest.mark.django_db
def test_months_ahead_a_typical_year_stands_in_and_is_marked() -> None:
    crag = Crag()
    call_command("import_typical", "p1", str(YEARS / "greensboro.csv"))
    assert TypicalAir.objects.count() == 288
    day = shown(crag.coach, day=stored.TODAY + timedelta(days=120))
    assert {hour.source for hour in day.hours} == {"typical"} and "Greensboro" in day.typical_of and day.windows
    assert min(hour.temp_spread_k for hour in day.hours) > 2
    page = client(crag.coach).get(f"/places/p1?day={day.day}").content.decode()
    assert "no forecast" in page and "Typical for" in page
    event = client(crag.coach).get("/events/lindmark-cup").content.decode()
    assert "Typical of the season" in event


@pytest.mark.django_db
def test_own_history_needs_ten_sessions_with_air() -> None:
    crag = Crag()
    for n in range(1, 13):
        day = stored.TODAY - timedelta(days=n)
        at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
        Air.objects.create(place=crag.places[1], starts_at=at, temp_c=9, rh_pct=55)
        told = {"local_date": day, "planned": False, "place": crag.places[1], "skin_limited": n % 3 == 0}
        Session.objects.update_or_create(athlete=crag.rows[0], local_date=day, defaults=told)
    crag.breathe()
    day = shown(crag.coach, athlete_code="a01")
    assert (day.whose.sessions, day.whose.squad_sessions) == (12, 12) and day.windows[0].own[1] >= 3
    assert "Own history first (12 sessions" in client(crag.coach).get("/places/p1?athlete=a01").content.decode()
    Session.objects.filter(local_date__lt=stored.TODAY - timedelta(days=9)).delete()
    page = client(crag.coach).get("/places/p1?athlete=a01").content.decode()
    assert "Under ten sessions with air (9 so far)" in page


@pytest.mark.django_db
@pytest.mark.parametrize(("rh_pct", "said"), [(90, False), (45, False), (15, True)])
def test_only_air_that_is_dry_for_skin_is_called_so(rh_pct: float, said: bool) -> None:
    """At 20 C humidities of 90, 45 and 15 % are dew points of 18, 8 and −7 C; under 5 C creases split (judgement)."""
    crag = Crag()
    crag.breathe(temp_c=20.0, rh_pct=rh_pct)
    page = client(crag.coach).get("/places/p1").content.decode()
    assert ("Dry air leaves skin brittle" in page) is said


@pytest.mark.django_db
def test_units_are_the_persons_own() -> None:
    crag = Crag()
    crag.breathe()
    asked = client(crag.coach)
    assert "°C" in asked.get("/places/p1").content.decode()
    kept = asked.post("/places", {"action": "units", "temperature": "F", "wind": "mph"})
    assert kept.status_code == 302
    page = asked.get("/places/p1").content.decode()
    assert "°F" in page and "mph" in page and "°C" not in page
    assert "°C" in client(stored.login("head-coach", crag.squad)).get("/places/p1").content.decode()
    assert asked.post("/places", {"action": "units", "temperature": "K", "wind": "mph"}).status_code == 422
    assert Person.objects.get(id=crag.coach.person_id).temperature_unit == "F"


@pytest.mark.django_db
def test_names_are_never_markup_and_friction_is_never_a_number() -> None:
    crag = Crag()
    Athlete.objects.update(name="<script>x</script>")
    crag.breathe()
    for address in ("/places", "/places/p1?athlete=a01", "/places/p1/air", "/events/lindmark-cup"):
        page = client(crag.coach).get(address).content.decode()
        assert "<b> 1" not in page and "<script>x" not in page
        assert "grip" not in page and page.count("friction") <= 1  # said once: that nothing here is one


@pytest.mark.django_db
@pytest.mark.parametrize("day", ["x", "2027-02-31", "0001-01-01", "9999-12-31", "2027-03-28", "2027-10-31", ""])
def test_any_day_asked_for_is_answered(day: str) -> None:
    """The last two are 23 and 25 hours long in Stockholm."""
    crag = Crag()
    crag.breathe()
    assert client(crag.coach).get(f"/places/p1?day={day}").status_code == 200


@pytest.mark.django_db
def test_a_place_of_which_little_is_told_still_has_a_day() -> None:
    crag = Crag()
    Place.objects.update(lat=None, lon=None, altitude_m=None, kind="", rock="", face_deg=None, coast_deg=None)
    crag.breathe(wind_m_s=None, wind_from_deg=None)
    page = client(crag.coach).get("/places/p1").content.decode()
    assert "Wind not known" in page and "Cost in skin not known" in page and "no sun on it is drawn" in page


@pytest.mark.django_db
def test_a_new_place_is_checked() -> None:
    crag = Crag()
    asked = client(crag.coach)
    assert asked.post("/places", {"action": "place", "name": "", "lat": "9"}).status_code == 422
    assert asked.post("/places", {"action": "place", "name": "x", "lat": "nan"}).status_code == 422
    assert asked.post("/places", {"action": "place", "name": "x", "lat": "95"}).status_code == 422
    assert asked.post("/places", {"action": "place", "name": "New", "rock": "granite", "lat": "9"}).status_code == 302
    assert Place.objects.get(name="New").made_by_id == crag.coach.pk
