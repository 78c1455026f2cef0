"""One tap on today's list stores what was done or not, once; it can be taken back on the same day, with a trace."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Account, Athlete, Care, Correction
from tests import shown_cast as cast
from tests import stored

pytestmark = pytest.mark.django_db
TODAY_PAGE = "/me/today"
STEP = cast.athlete().steps[0]
KEY = f"{STEP.part}|{STEP.form}|{';'.join(STEP.sites)}"


@pytest.fixture
def people() -> Iterator[dict[str, Account]]:
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes(["a1", "a2"], squad)
        stored.share(rows)
        stored.conclude(rows, stored.event())
        found = {"athlete": stored.login("athlete", squad, rows[:1]), "other": stored.login("athlete", squad, rows[1:])}
        found["head-coach"] = stored.login("head-coach", squad)
        yield found


def client(who: Account) -> Client:
    found = Client()
    found.force_login(who)
    return found


@pytest.mark.parametrize("status", ["done", "skipped"])
def test_a_tap_stores_the_step_once(people: dict[str, Account], status: str) -> None:
    athlete = client(people["athlete"])
    for _ in range(2):
        athlete.post(TODAY_PAGE, {"step": KEY, "status": status})
    (row,) = Care.objects.all()
    told = (row.athlete.code, row.status, row.form, row.part, tuple(row.sites), row.local_date)
    assert told == ("a1", status, STEP.form, STEP.part, STEP.sites, stored.TODAY)
    assert 'name="back"' in athlete.get(TODAY_PAGE).content.decode()


def test_it_is_taken_back_with_a_trace(people: dict[str, Account]) -> None:
    athlete = client(people["athlete"])
    athlete.post(TODAY_PAGE, {"step": KEY, "status": "done"})
    row = Care.objects.get()
    assert client(people["other"]).post(TODAY_PAGE, {"back": str(row.id)}).status_code == 404
    assert Care.objects.count() == 1
    athlete.post(TODAY_PAGE, {"back": str(row.id)})
    trace = Correction.objects.get(table="care")
    assert not Care.objects.exists() and (trace.row_id, trace.before["form"]) == (row.id, STEP.form)


def test_nothing_is_stored_of_a_step_that_is_not_there_or_of_somebody_else(people: dict[str, Account]) -> None:
    athlete = client(people["athlete"])
    athlete.post(TODAY_PAGE, {"step": "night|glue|", "status": "done"})
    athlete.post(TODAY_PAGE, {"step": KEY, "status": "planned"})
    assert client(people["head-coach"]).post(TODAY_PAGE, {"step": KEY, "status": "done"}).status_code in (302, 404)
    assert not Care.objects.exists() and Athlete.objects.count() == 2
