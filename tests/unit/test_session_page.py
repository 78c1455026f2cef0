"""After a session: the plan stands there to be confirmed, what only the athlete knows is never filled in, and nothing
typed is lost.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
import time_machine

from athletes.records.models import Account, Athlete, Correction, Place, Session
from tests import pocket_cast, stored
from tests.pocket_cast import client

pytestmark = pytest.mark.django_db
PAGE = "/me/session"
DAY = stored.TODAY
TOLD = {"skin_limited": "yes", "minutes": "95", "rpe": "7", "surface": "fresh plastic", "hard_tries": "12"}


@pytest.fixture
def people() -> Iterator[dict[str, Account]]:
    with time_machine.travel(stored.NOW, tick=False):
        yield pocket_cast.people()


def plan(code: str = "a1", **values: object) -> Session:
    told = {"minutes": 120.0, "rpe": 8.0, "surface": "plastic", "hard_tries": 30, **values}
    athlete = Athlete.objects.get(code=code)
    return Session.objects.create(**{"athlete": athlete, "local_date": DAY, "planned": True, "ordinal": 1, **told})


def chosen(html: str, name: str) -> list[str]:
    """Values of the radio buttons of this name that come checked."""
    parts = [part.split(">")[0] for part in html.split("<input ") if f'name="{name}"' in part.split(">")[0]]
    return [part.split('value="')[1].split('"')[0] for part in parts if " checked" in part]


def test_what_is_told_is_stored_as_done(people: dict[str, Account]) -> None:
    answer = client(people["athlete"]).post(PAGE, TOLD)
    row = Session.objects.get()
    assert (answer.status_code, answer["Location"]) == (302, "/me/today")
    assert (row.athlete.code, row.local_date, row.planned, row.ordinal) == ("a1", DAY, False, 1)
    assert (row.minutes, row.rpe, row.surface, row.hard_tries) == (95, 7, "fresh plastic", 12)
    assert row.skin_limited is True


def test_the_plan_stands_in_the_form_and_the_answer_about_skin_does_not(people: dict[str, Account]) -> None:
    plan(skin_limited=True)
    html = client(people["athlete"]).get(PAGE).content.decode()
    assert (chosen(html, "rpe"), chosen(html, "surface"), chosen(html, "skin_limited")) == (["8"], ["plastic"], [])
    assert 'name="minutes" inputmode="decimal" autocomplete="off" value="120"' in html
    assert not Session.objects.filter(planned=False).exists()


def test_a_planned_session_that_did_not_happen_is_known_to_be_nothing(people: dict[str, Account]) -> None:
    plan()
    client(people["athlete"]).post(f"{PAGE}?n=1", {"happened": "no", "minutes": "120", "rpe": "8"})
    row = Session.objects.get(planned=False)
    assert (row.minutes, row.hard_tries, row.rpe, row.skin_limited) == (0, 0, None, None)


def test_sent_twice_it_is_one_session_and_a_change_leaves_a_trace(people: dict[str, Account]) -> None:
    athlete = client(people["athlete"])
    for minutes in ("95", "95", "80"):
        athlete.post(f"{PAGE}?day={DAY}&n=1", {**TOLD, "minutes": minutes})
    assert Session.objects.get().minutes == 80
    assert [trace.before["minutes"] for trace in Correction.objects.filter(table="session")] == [95]


def test_a_second_session_of_the_day_has_its_own_number(people: dict[str, Account]) -> None:
    athlete = client(people["athlete"])
    athlete.post(PAGE, TOLD)
    assert "n=2" in athlete.get(PAGE).content.decode()
    athlete.post(f"{PAGE}?n=2", {"skin_limited": "no"})
    assert list(Session.objects.order_by("ordinal").values_list("ordinal", "skin_limited")) == [(1, True), (2, False)]


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({}, "One tap is enough"),
        ({**TOLD, "minutes": "a lot"}, "Type the minutes as a number."),
        ({**TOLD, "minutes": "1441"}, "A day has 1440 minutes."),
        ({**TOLD, "hard_tries": "-1"}, "Hard tries start at 0."),
        ({**TOLD, "surface": "glass"}, "Choose one of the surfaces."),
        ({**TOLD, "began": "25:00"}, "Type the hour as 17:30."),
        ({**TOLD, "minutes": "nan"}, "Type the minutes as a number."),
    ],
)
def test_a_wrong_answer_says_what_to_do_and_loses_nothing(
    people: dict[str, Account], sent: dict[str, str], said: str
) -> None:
    answer = client(people["athlete"]).post(PAGE, sent)
    html = answer.content.decode()
    assert answer.status_code == 422 and said in html and not Session.objects.exists()
    if sent:
        assert chosen(html, "rpe") == ["7"] and f'value="{sent["minutes"]}"' in html


def test_a_day_to_come_or_long_gone_is_not_taken(people: dict[str, Account]) -> None:
    athlete = client(people["athlete"])
    for days in (1, -15):
        athlete.post(f"{PAGE}?day={DAY + timedelta(days=days)}", {"skin_limited": "no"})
    assert set(Session.objects.values_list("local_date", flat=True)) == {DAY}
    athlete.post(f"{PAGE}?day={DAY - timedelta(days=14)}", {"skin_limited": "no"})
    assert Session.objects.filter(local_date=DAY - timedelta(days=14)).exists()


def test_the_hour_is_that_of_the_athlete_and_the_place_one_that_they_know(people: dict[str, Account]) -> None:
    Athlete.objects.filter(code="a1").update(timezone="Asia/Kathmandu")
    Place.objects.create(code="own", name="Own crag")
    Place.objects.create(code="foreign", name="Foreign crag")
    plan(place=Place.objects.get(code="own"))
    athlete = client(people["athlete"])
    assert "Foreign crag" not in athlete.get(PAGE).content.decode()
    refused = athlete.post(PAGE, {**TOLD, "place_id": "foreign"}).content.decode()
    nowhere = athlete.post(PAGE, {**TOLD, "place_id": "nowhere"}).content.decode()
    assert "Choose one of the places, or none." in refused and "Choose one of the places, or none." in nowhere
    athlete.post(PAGE, {**TOLD, "place_id": "own", "began": "12:00"})
    row = Session.objects.get(planned=False)
    assert row.place is not None and row.place.code == "own"
    assert row.started_at == datetime(DAY.year, DAY.month, DAY.day, 6, 15, tzinfo=UTC)


def test_a_guardian_tells_of_the_ward_and_nobody_of_anybody_else(people: dict[str, Account]) -> None:
    assert client(people["guardian"]).post(f"{PAGE}?for=m1", TOLD).status_code == 302
    assert Session.objects.get().athlete.code == "m1"
    for role in ("other", "guardian", "head-coach"):
        answers = [client(people[role]).post(f"{PAGE}?for={code}", TOLD) for code in ("a1", "nobody")]
        assert [answer.status_code for answer in answers] == [404, 404]
    assert Session.objects.count() == 1
