"""Plans of a squad, sent one by one; and sessions that stand as they are."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import timedelta

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from athletes.records.models import Account, Athlete, CheckIn, Event, Session, Squad
from coaching.usecases import recompute
from tests import stored

pytestmark = pytest.mark.django_db
TODAY = stored.TODAY
HARD = {"planned": True, "minutes": 120.0, "rpe": 8.0, "surface": "fresh plastic"}
AHEAD = (2, 4, 6, 7, 8)


def worn(rows: list[Athlete]) -> None:
    """Forty days of poor skin, the same for all, and hard sessions up to the cup."""
    for row in rows:
        rng = random.Random(4)
        days = [TODAY - timedelta(days=back) for back in range(40)]
        CheckIn.objects.bulk_create(
            [CheckIn(athlete=row, local_date=d, reserve=rng.choice((4, 5)), dampness=4, hardness=4) for d in days]
        )
        ahead = [TODAY + timedelta(days=on) for on in AHEAD]
        Session.objects.bulk_create([Session(athlete=row, local_date=d, **HARD) for d in ahead])


def cup(rows: list[Athlete]) -> None:
    event = stored.event()
    for row in rows:
        event.entries.create(athlete=row, priority=1)
    Event.objects.update(bar=35)
    stored.staleness.raise_for([row.id for row in rows], stored.NOW)
    recompute.drain()


@pytest.fixture
def coach() -> Iterator[Client]:
    """Two worn athletes entered in a cup, one without an event, one who shares nothing but the level."""
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes(["a1", "a2", "a3", "a4"], squad)
        stored.share(rows[:3])
        stored.share(rows[3:], ["level"])
        worn(rows)
        cup([rows[0], rows[1], rows[3]])
        yield client(stored.login("head-coach", squad))


def client(who: Account) -> Client:
    found = Client()
    found.force_login(who)
    return found


def test_each_plan_is_sent_once_it_is_made_and_is_that_of_the_athlete_alone(coach: Client) -> None:
    parts = [part.decode() for part in coach.get("/plans?whose=all").streaming_content]
    assert len(parts) == 4 and "<h1>2 plans</h1>" in parts[0] and "All plans are made." in parts[3]
    for n, code in enumerate(("a1", "a2"), start=1):
        row = parts[n]
        assert f"{n} of 2" in row and f"/athletes/{code}/plan" in row
        alone = coach.get(f"/athletes/{code}/plan").content.decode()
        cells = [cell.split("<")[0] for cell in alone.split("<td>")[1:4]]
        assert len(cells) == 3 and all(cell in row for cell in cells)
    assert not {"/athletes/a3", "/athletes/a4"} & set("".join(parts).split('"'))


def test_the_page_says_whom_it_would_plan_for_and_who_is_left_out(coach: Client) -> None:
    page = coach.get("/plans").content.decode()
    assert "2 athletes have an event ahead" in page and "2 more have none, or share too little" in page
    assert coach.get("/plans?whose=nobody").content.decode().count('squad-plan-who') == 0


@pytest.mark.usefixtures("coach")
def test_only_whoever_coaches_meets_the_page() -> None:
    manager = client(stored.login("manager", Squad.objects.get()))
    assert manager.get("/plans").status_code == 404


def test_a_squad_twice_the_size_asks_the_database_no_more_often(coach: Client) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as caught:
            response = coach.get("/plans?whose=all")
            for _ in range(2):  # all that is read is read before the first plan
                next(iter(response.streaming_content))
        return len([one for one in caught if "SAVEPOINT" not in one["sql"]])

    few = asked()
    more = stored.athletes(["b1", "b2"], Squad.objects.get())
    stored.share(more)
    worn(more)
    for row in more:
        Event.objects.get().entries.create(athlete=row, priority=1)
    stored.staleness.raise_for([row.id for row in more], stored.NOW)
    recompute.drain()
    assert asked() == few


def test_a_session_that_is_fixed_stands_and_the_answer_keeps_to_it(coach: Client) -> None:
    """Hard sessions of worn skin are cut; for the twin one of these stands, and others are cut in its place or not."""
    free = taken_up(coach, "a2")
    cut = [day for day, minutes in free.items() if minutes < 120.0]
    fixed = cut[0]
    kept = taken_up(coach, "a1", fixed, "no day")
    assert kept[fixed] == 120.0 and min(kept.values()) < 120.0


def taken_up(coach: Client, code: str, *fixed: str) -> dict[str, float]:
    """Minutes of the planned sessions by day once the plan is accepted."""
    address = f"/athletes/{code}/plan"
    page = coach.get(address, {"fixed": fixed}).content.decode()
    assert page.count('name="fixed"') == len(AHEAD) + len(fixed[:1])  # one to tick for each, and what was ticked
    digest = page.split('name="digest" value="')[1].split('"')[0]
    assert coach.post(address, {"digest": digest, "answer": "accept", "fixed": fixed}).status_code == 302
    rows = Session.objects.filter(athlete__code=code, planned=True).order_by("local_date")
    return {row.local_date.isoformat(): row.minutes for row in rows}
