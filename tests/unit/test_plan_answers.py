"""A plan is accepted, changed or declined, a change is tried out and stored: rows, lists and decisions that follow."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Account, Care, CheckIn, Decision, Event, Session
from coaching.usecases import recompute
from tests import stored

pytestmark = pytest.mark.django_db
TODAY = stored.TODAY
PLAN, WHAT_IF, DECISIONS = "/athletes/a1/plan", "/athletes/a1/what-if", "/decisions"


@pytest.fixture
def people() -> Iterator[dict[str, Account]]:
    """A worn athlete with hard sessions planned up to a cup in nine days, their coach, a manager and themselves."""
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        (row,) = rows = stored.athletes(["a1"], squad)
        stored.share(rows)
        stored.share(rows, ["level"], role="manager")
        event, rng = stored.event(), random.Random(4)
        event.entries.create(athlete=row, priority=1)
        Event.objects.update(bar=35, entry_deadline=stored.NOW + timedelta(days=1))
        days = [TODAY - timedelta(days=n) for n in range(40)]
        CheckIn.objects.bulk_create(
            [CheckIn(athlete=row, local_date=d, reserve=rng.choice((4, 5)), dampness=4, hardness=4) for d in days]
        )
        hard = {"athlete": row, "minutes": 120.0, "rpe": 8.0, "surface": "fresh plastic"}
        ahead = [TODAY + timedelta(days=n) for n in (2, 4, 6, 7, 8)]
        Session.objects.bulk_create([Session(local_date=d, planned=True, **hard) for d in ahead])
        stored.staleness.raise_for([row.id], stored.NOW)
        found = {role: stored.login(role, squad) for role in ("head-coach", "manager")}
        found["athlete"] = stored.login("athlete", squad, rows)
        recompute.drain()
        yield found


def client(who: Account) -> Client:
    found = Client()
    found.force_login(who)
    return found


def digest(page: str) -> str:
    return page.split('name="digest" value="')[1].split('"')[0]


def answer(coach: Client, given: str, **more: Any) -> Any:
    page = coach.get(PLAN).content.decode()
    return coach.post(PLAN, {"digest": digest(page), "answer": given, **more})


def test_an_accepted_plan_becomes_planned_rows_and_shorter_sessions(people: dict[str, Account]) -> None:
    coach = client(people["head-coach"])
    assert "take up the plan" in coach.get(DECISIONS).content.decode()
    assert answer(coach, "accept").status_code == 302
    assert Care.objects.filter(status="planned").exists()
    rests = Care.objects.filter(status="planned", form="rest day").values_list("local_date", flat=True)
    assert rests and all(s.minutes == 0 for s in Session.objects.filter(local_date__in=rests))
    assert {d.answer for d in Decision.objects.filter(kind="plan")} == {"accept"}
    assert recompute.drain() == 1
    assert "take up the plan" not in coach.get(DECISIONS).content.decode()


def test_the_athlete_sees_the_accepted_steps_in_the_list_of_their_day(people: dict[str, Account]) -> None:
    assert answer(client(people["head-coach"]), "accept").status_code == 302
    recompute.drain()
    step = Care.objects.filter(status="planned").order_by("local_date").first()
    assert step is not None
    with time_machine.travel(stored.NOW + (step.local_date - TODAY), tick=False):
        stored.staleness.raise_for([step.athlete_id], stored.NOW + (step.local_date - TODAY))
        recompute.drain()
        page = client(people["athlete"]).get("/me/today").content.decode()
    assert 'class="beware"' in page and "no load on the hands" in page


def test_a_declined_plan_is_not_asked_about_again_until_the_facts_move(people: dict[str, Account]) -> None:
    coach = client(people["head-coach"])
    refused = answer(coach, "decline", why="")
    assert refused.status_code == 422 and not Decision.objects.exists()
    assert answer(coach, "decline", why="he knows better").status_code == 302
    assert not Care.objects.exists()
    assert "take up the plan" not in coach.get(DECISIONS).content.decode()
    row = Decision.objects.get()
    row.about = "on-course nothing"
    row.save()
    assert "take up the plan" in coach.get(DECISIONS).content.decode()


def test_what_was_typed_stays_where_the_answer_could_not_be_taken(people: dict[str, Account]) -> None:
    coach = client(people["head-coach"])
    page = coach.post(PLAN, {"digest": "old", "answer": "change", "why": "kept words", "keep": ["0"]})
    body = page.content.decode()
    assert page.status_code == 422 and "kept words" in body and "facts have moved" in body
    assert not Care.objects.exists() and not Decision.objects.exists()


def test_a_changed_plan_stores_only_what_is_kept(people: dict[str, Account]) -> None:
    coach = client(people["head-coach"])
    assert answer(coach, "change", why="no cream", keep=["0"]).status_code == 302
    assert len(set(Care.objects.values_list("form", flat=True))) <= 1
    assert Decision.objects.get().answer == "change"


def test_nobody_but_a_coach_answers(people: dict[str, Account]) -> None:
    coach, manager = client(people["head-coach"]), client(people["manager"])
    key = digest(coach.get(PLAN).content.decode())
    assert manager.get(PLAN).status_code == 404
    assert manager.post(PLAN, {"digest": key, "answer": "accept"}).status_code == 404
    assert client(people["athlete"]).get(PLAN).status_code == 404
    assert not Care.objects.exists()


def test_a_dropped_session_is_seen_on_both_sides_and_stored_only_when_accepted(people: dict[str, Account]) -> None:
    coach = client(people["head-coach"])
    day = (TODAY + timedelta(days=8)).isoformat()
    page = coach.post(WHAT_IF, {"kind": "drop-session", "day": day})
    body = page.content.decode()
    assert page.status_code == 200 and "Plan after the change" in body and f'value="{day}" selected' in body
    assert Session.objects.get(local_date=day).minutes == 120
    assert coach.post(WHAT_IF, {"kind": "drop-session", "day": day, "do": "accept"}).status_code == 302
    assert Session.objects.get(local_date=day).minutes == 0


def test_an_event_is_moved_once_it_is_accepted(people: dict[str, Account]) -> None:
    coach = client(people["head-coach"])
    asked = {"kind": "move-event", "event_id": "lindmark-cup", "day": "2027-03-25"}
    assert coach.post(WHAT_IF, asked).status_code == 200
    assert Event.objects.get().first_day == stored.cast.CUP.first_day
    assert coach.post(WHAT_IF, {**asked, "do": "accept"}).status_code == 302
    assert Event.objects.get().first_day.isoformat() == Event.objects.get().last_day.isoformat() == "2027-03-25"


def test_an_agent_that_the_rulebook_refuses_is_shown_and_never_stored(people: dict[str, Account]) -> None:
    """A first use nine days before: aluminium needs ten, as the rulebook has it (judgement)."""
    coach = client(people["head-coach"])
    asked = {"kind": "start-agent", "form": "aluminium salt", "day": "2027-03-12"}
    body = coach.post(WHAT_IF, asked).content.decode()
    assert "Refused:" in body and "Accept this change" not in body
    assert coach.post(WHAT_IF, {**asked, "do": "accept"}).status_code == 422
    assert not Care.objects.exists()


@pytest.mark.parametrize(
    "asked",
    [
        {"kind": "drop-session", "day": "2027-03-12"},
        {"kind": "start-agent", "form": "aluminium salt", "day": "yesterday"},
        {"kind": "start-agent", "form": "snake oil", "day": "2027-03-12"},
        {"kind": "move-event", "event_id": "lindmark-cup", "day": "2027-03-01"},
        {"kind": "close-late", "episode_id": "none", "late_days": "3"},
        {"kind": "close-late", "late_days": "x"},
        {"kind": "nonsense"},
    ],
)
def test_a_change_that_cannot_be_is_told_and_kept(people: dict[str, Account], asked: dict[str, str]) -> None:
    coach = client(people["head-coach"])
    body = coach.post(WHAT_IF, asked).content.decode()
    assert 'role="alert"' in body
    assert coach.post(WHAT_IF, {**asked, "do": "accept"}).status_code == 422


def test_a_deadline_is_answered_in_place_and_not_asked_again(people: dict[str, Account]) -> None:
    coach = client(people["head-coach"])
    before = coach.get("/athletes/a1").content.decode()
    keys = [part.split('"')[0] for part in before.split('name="key" value="')[1:]]
    assert keys
    empty = coach.post(DECISIONS, {"key": keys[0], "answer": "decline", "why": ""})
    assert empty.status_code == 422 and "<details open>" in empty.content.decode()
    told = coach.post(DECISIONS, {"key": keys[0], "answer": "decline", "why": "rest is planned", "back": "a1"})
    assert (told.status_code, told.headers["Location"]) == (302, "/athletes/a1")
    assert f'value="{keys[0]}"' not in coach.get("/athletes/a1").content.decode()
    assert coach.post(DECISIONS, {"key": keys[0], "answer": "accept"}).status_code == 422
