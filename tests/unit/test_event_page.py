"""The event page through the door: who is shown, who is only counted, what a manager sees, and the air there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.template.loader import render_to_string
from django.test import Client

from athletes.records import access
from athletes.records.errors import NotFound
from athletes.records.models import Account, Air, Athlete, Entry, Event, Place, Session
from coaching.pages.event_rows import EventSeen
from coaching.usecases.event_page import event_page, events_list
from coaching.usecases.shown_event import EventPage
from tests import event_cast as events
from tests import shown_cast as cast
from tests import stored
from tests.unit.test_pages_render import NASTY, parsed

ALL_FILES = ("", "/sheet.pdf", "/sheet.csv", "/sheet.xlsx")
CUP = "/events/lindmark-cup"


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


class Hall:
    """Two athletes entered, of whom the second shares nothing; a head coach and a manager."""

    def __init__(self) -> None:
        self.squad = stored.squad()
        self.rows = stored.athletes(["a01", "a02"], self.squad)
        Athlete.objects.filter(code="a02").update(name="Hidden Somebody")
        self.event = stored.event()
        stored.share(self.rows[:1])
        stored.conclude(self.rows, self.event)
        self.coach, self.manager = (stored.login(role, self.squad) for role in ("head-coach", "manager"))


def shown(account: Account, code: str = "lindmark-cup") -> EventPage:
    return event_page(access.viewer_for(account, stored.TODAY), code)


def client(account: Account) -> Client:
    found = Client()
    found.force_login(account)
    return found


@pytest.mark.django_db
def test_who_shares_nothing_is_counted_and_never_named() -> None:
    hall = Hall()
    page = shown(hall.coach)
    assert [row.athlete.code for row in page.rows] == ["a01"] and page.not_shared == 1
    asked = client(hall.coach)
    for path in (CUP, f"{CUP}/sheet.csv", "/events"):
        said = asked.get(path).content.decode("utf-8-sig")
        assert "Hidden" not in said and "a02" not in said


@pytest.mark.django_db
def test_a_consent_withdrawn_takes_the_athlete_off_every_file() -> None:
    hall = Hall()
    stored.share(hall.rows[1:])
    assert len(shown(hall.coach).rows) == 2
    stored.withdraw(athlete=hall.rows[1])
    page = shown(hall.coach)
    assert (len(page.rows), page.not_shared) == (1, 1)


@pytest.mark.django_db
@pytest.mark.parametrize("path", ALL_FILES)
def test_an_event_that_is_not_theirs_and_none_at_all_answer_alike(path: str) -> None:
    hall = Hall()
    other = stored.login("head-coach", stored.squad("other"))
    for account in (
        other,
        stored.login("athlete", None, hall.rows[:1]),
        stored.login("guardian", None, hall.rows[:1]),
    ):
        theirs, nobodys = (
            client(account).get(f"/events/{code}{path}") for code in ("lindmark-cup", "no-such")
        )
        assert (theirs.status_code, theirs.content) == (404, nobodys.content)


@pytest.mark.django_db
def test_an_event_in_which_nobody_shares_is_not_found() -> None:
    hall = Hall()
    stored.withdraw(athlete=hall.rows[0])
    with pytest.raises(NotFound):
        shown(hall.coach)
    assert events_list(access.viewer_for(hall.coach, stored.TODAY)).coming == ()


@pytest.mark.django_db
def test_a_manager_sees_the_level_alone_whatever_is_shared() -> None:
    hall = Hall()
    stored.share(hall.rows[:1], role="manager")
    (row,) = shown(hall.manager).rows
    assert row.athlete.shared == {"level"} and row.level == "act"
    assert row.athlete.picture is not None and row.athlete.picture.damage == () and row.athlete.steps == ()
    said = (
        client(hall.manager).get(CUP).content.decode()
        + client(hall.manager).get(f"{CUP}/sheet.csv").content.decode()
    )
    assert "crease" not in said and "moist" not in said and "The reason is not shared with you." in said


@pytest.mark.django_db
def test_a_manager_who_is_also_their_coach_sees_as_a_coach() -> None:
    hall = Hall()
    both = stored.login("manager", hall.squad)
    assert both.person is not None
    both.person.roles.create(role="head-coach", squad=hall.squad)
    assert "damage" in shown(both).rows[0].athlete.shared


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("ending", "kind"), [("pdf", "application/pdf"), ("csv", "text/csv"), ("xlsx", "application/vnd")]
)
def test_files_are_sent_under_a_plain_name_and_not_kept(ending: str, kind: str) -> None:
    hall = Hall()
    answer = client(hall.coach).get(f"{CUP}/sheet.{ending}")
    assert answer.status_code == 200 and answer["Content-Type"].startswith(kind)
    assert f'filename="lindmark-cup-2027-03-11.{ending}"' in answer["Content-Disposition"]
    assert "no-store" in answer["Cache-Control"]


@pytest.mark.django_db
def test_a_code_with_a_line_end_writes_no_header() -> None:
    hall = Hall()
    Event.objects.update(code='x"\r\nSet-Cookie: y')
    answer = client(hall.coach).get('/events/x"%0D%0ASet-Cookie: y/sheet.csv')
    assert (
        answer.status_code == 200
        and 'filename="x-set-cookie-y-2027-03-11.csv"' in answer["Content-Disposition"]
    )


@pytest.mark.django_db
def test_the_withdrawn_come_last_and_an_event_that_is_over_is_listed_as_such() -> None:
    hall = Hall()
    Entry.objects.filter(athlete=hall.rows[0]).update(status="withdrawn")
    assert shown(hall.coach).rows[0].entry is None
    Event.objects.update(first_day=stored.YESTERDAY, last_day=stored.YESTERDAY)
    found = events_list(access.viewer_for(hall.coach, stored.TODAY))
    assert found.coming == () and [line.event.code for line in found.over] == ["lindmark-cup"]


def hour(place: Place, at: datetime, temp_c: float, rh_pct: float, known_at: datetime | None = None) -> Air:
    return Air(place=place, starts_at=at, temp_c=temp_c, rh_pct=rh_pct, known_at=known_at)


@pytest.mark.django_db
def test_of_one_hour_the_newest_forecast_known_by_now_counts_in_local_time() -> None:
    hall = Hall()
    there = Place.objects.create(code="p1", name="Lindmark Hall")
    Event.objects.update(place=there)
    noon, old, new = (
        datetime(2027, 3, 20, 11, tzinfo=UTC),
        stored.NOW - timedelta(days=2),
        stored.NOW - timedelta(days=1),
    )
    night, later = noon + timedelta(hours=10), stored.NOW + timedelta(hours=1)
    hours = [(noon, 10.0, old), (noon, 20.0, new), (noon, 30.0, later), (night, 15.0, new)]
    Air.objects.bulk_create([hour(there, at, temp, 50.0, known) for at, temp, known in hours])
    air = shown(hall.coach).air
    assert [(one.at.isoformat(), one.temp_c, one.forecast) for one in air.hours] == [
        ("2027-03-20T12:00:00+01:00", 20.0, True)
    ]
    assert air.forecast_of == new


@pytest.mark.django_db
def test_the_dew_point_is_where_the_vapour_of_the_air_saturates() -> None:
    """Against another formula for the vapour pressure, Buck 1981 as revised in 1996: at the dew point the saturation
    pressure is that of the air, within the 0.5 % by which the two formulas may differ. Above half humidity the rule
    of thumb of Lawrence 2005 (one degree for each five parts of humidity) holds within 1 °C.
    """
    hall = Hall()
    there = Place.objects.create(code="p1", name="Lindmark Hall")
    Event.objects.update(place=there)
    Air.objects.create(
        place=there,
        starts_at=datetime(2027, 3, 20, 11, tzinfo=UTC),
        temp_c=22,
        rh_pct=60,
        known_at=stored.NOW,
    )
    (one,) = shown(hall.coach).air.hours
    assert buck_hpa(one.dew_point_c) == pytest.approx(0.6 * buck_hpa(22), rel=0.005)
    assert one.dew_point_c == pytest.approx(22 - (100 - 60) / 5, abs=1)


def buck_hpa(temp_c: float) -> float:
    return 6.1121 * math.exp((18.678 - temp_c / 234.5) * temp_c / (257.14 + temp_c))


@pytest.mark.django_db
def test_home_is_where_those_who_share_check_ins_trained_most() -> None:
    hall = Hall()
    near, far = (Place.objects.create(code=code, name=code) for code in ("near", "far"))
    done = [(hall.rows[0], near)] * 2 + [(hall.rows[0], far)] + [(hall.rows[1], far)] * 5
    Session.objects.bulk_create(
        [Session(athlete=a, local_date=stored.YESTERDAY, place=p, planned=False) for a, p in done]
    )
    day = datetime(2027, 3, 10, tzinfo=UTC)
    Air.objects.bulk_create(
        [hour(p, day.replace(hour=h), 20, rh) for p, rh in ((near, 40), (far, 80)) for h in (10, 14)]
    )
    air = shown(hall.coach).air
    assert air.home == "near" and air.home_dew_point_c is not None
    assert buck_hpa(air.home_dew_point_c) == pytest.approx(0.4 * buck_hpa(20), rel=0.005)
    stored.share(hall.rows[:1], role="manager")
    assert shown(hall.manager).air.home is None


def html(page: EventPage) -> str:
    return render_to_string("coaching/event.html", {"page": EventSeen(page), "here": "event"})


def test_the_page_is_well_formed_and_says_its_caution_once() -> None:
    said = html(
        events.page([events.row(), events.free(), events.row("Kwame", "a3", "withdrawn")], not_shared=1)
    )
    assert parsed(said).open == [] and said.count("Skin only, not a medical clearance.") == 1
    assert "1 more is entered and shares no level with you." in said
    assert (
        "<h1>Decide for Adaeze.</h1>" in said
        and "Withdrawn." not in said.split('id="entry-a01"')[1].split("</li>")[0]
    )


def test_names_are_escaped() -> None:
    said = html(events.page([events.row(NASTY)], event=replace(cast.CUP, name=NASTY)))
    assert "<script>alert" not in said and "&lt;script&gt;alert" in said


def test_an_entry_without_a_conclusion_says_so() -> None:
    waiting = events.row(computed_at=None, entries=(), picture=None, stale=True)
    said = html(events.page([waiting]))
    assert "Not computed yet." in said and "newer facts not counted yet" in said
