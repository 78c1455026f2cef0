"""On today's list: when to look again, one tap from the form. On the card for signs of infection: the number to call at
home and where an event is on. 112 in the European Union: Directive (EU) 2018/1972, Article 109; 111 in New Zealand:
from memory, and said to be.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Athlete, Damage, Event, Look
from tests import stored

pytestmark = pytest.mark.django_db


@pytest.fixture
def own() -> Iterator[Client]:
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes(["a1", "a2"], squad)
        stored.share(rows)
        stored.conclude(rows, stored.event())
        Athlete.objects.update(timezone="Europe/Vienna")
        Event.objects.update(timezone="Europe/Vienna")
        client = Client()
        client.force_login(stored.login("athlete", squad, rows[:1]))
        yield client


def opened(site: str, days_ago: int, stage: str = "", seen_ago: int = 0) -> Damage:
    on = stored.TODAY - timedelta(days=days_ago)
    row = Damage.objects.create(
        athlete=Athlete.objects.get(code="a1"), code=f"d-{site}", site=site, kind="split", noticed_on=on
    )
    if stage:
        Look.objects.create(damage=row, local_date=stored.TODAY - timedelta(days=seen_ago), stage=stage)
    return row


def listed(own: Client) -> dict[str, str]:
    """What stands on today's list for each damage: the day and the state."""
    html = own.get("/me/today").content.decode()
    found = {}
    for line in html.split('<span class="deadline-date">')[1:]:
        if 'href="/me/damage/d-' in line:
            code = line.split('href="/me/damage/')[1].split('"')[0]
            state = line.split('class="deadline-spare">')[1].split("<")[0]
            found.setdefault(code, f"{line.split('<')[0]} {state}".strip())
    return found


def test_a_look_stands_on_the_day_it_is_due_and_leads_to_its_form(own: Client) -> None:
    """The day after while it is open (common practice, no source); else as many days on as `deadline.look` has."""
    opened("L-index-tip", 1)  # noticed yesterday, not looked at since
    opened("L-ring-tip", 9, "closing", 0)  # looked at today
    opened("R-ring-tip", 9, "rimmed", 2)
    opened("R-thumb-tip", 9, "sound", 1)
    assert listed(own) == {"d-L-index-tip": "today due", "d-R-ring-tip": "today due", "d-L-ring-tip": "Fri 12"}
    assert own.get("/me/damage/d-L-index-tip").status_code == 200


def test_a_look_taken_moves_the_next_one_on(own: Client) -> None:
    opened("L-index-tip", 1)
    own.post("/me/damage/d-L-index-tip", {"stage": "closing"})
    assert listed(own) == {"d-L-index-tip": "Fri 12"}


def test_a_phone_keeps_the_page_of_each_open_damage(own: Client) -> None:
    opened("L-index-tip", 1)
    opened("R-thumb-tip", 9, "sound", 1)
    opened("R-ring-tip", 9, "sound", 0)
    pages = [one for one in own.get("/contact").json()["pages"] if one.startswith("/me/damage/")]
    assert pages == ["/me/damage/d-L-index-tip"]
    assert 'name="made-at"' in own.get(pages[0]).content.decode()  # so that a copy of it says how old it is
    missing = [own.get(f"/me/damage/{code}").content for code in ("d-none", "d-nobody")]
    assert missing[0] == missing[1] and b'name="made-at"' not in missing[0]


def called(own: Client) -> list[tuple[str, str]]:
    html = own.get("/me/infected").content.decode()
    lines = html.split('class="card-calls">')[1].split("</ul>")[0].split("<li>")[1:]
    return [(one.split('tel:')[1].split('"')[0], one.split("<b>")[1].split("</b>")[0]) for one in lines]


def test_the_number_is_that_of_home(own: Client) -> None:
    first, second = called(own)
    assert first == ("112", "emergency number in Austria") and second[0] == "911"


def test_and_before_it_that_of_where_an_event_is(own: Client) -> None:
    on = stored.TODAY + timedelta(days=14)
    Event.objects.update(timezone="Pacific/Auckland", first_day=on, last_day=on)
    assert called(own)[:2] == [
        ("111", "emergency number in New Zealand; from memory, ask there"), ("112", "emergency number in Austria"),
    ]  # fmt: skip
    Event.objects.update(first_day=on + timedelta(days=1), last_day=on + timedelta(days=1))
    assert called(own)[0][0] == "112"


def test_one_number_of_two_countries_stands_once(own: Client) -> None:
    on = stored.TODAY + timedelta(days=3)
    Event.objects.update(timezone="Europe/Madrid", first_day=on, last_day=on)
    assert [one for one in called(own) if one[0] == "112"] == [("112", "emergency number in Spain and Austria")]


def test_a_number_that_is_not_known_is_said_not_to_be(own: Client) -> None:
    Athlete.objects.update(timezone="Asia/Kathmandu")
    Event.objects.update(timezone="Asia/Kathmandu")
    html = own.get("/me/infected").content.decode()
    assert "The emergency number in Nepal is not known here." in html
    assert [number for number, _where in called(own)] == ["112", "911"]


def test_what_is_dialled_of_two_numbers_is_the_first(own: Client) -> None:
    Athlete.objects.update(timezone="Europe/Zurich")
    Event.objects.update(timezone="Europe/Zurich")
    assert called(own)[0][0] == "112" and "ambulance 144" in own.get("/me/infected").content.decode()
