"""Who gets through the doors of the interface, and what a door says to whoever does not."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Athlete, CheckIn
from tests import stored
from tests.api_calls import GOOD, nothing_stored, post

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _now() -> Any:
    with time_machine.travel(stored.NOW, tick=False):
        yield


def signed_in(*args: Any, **options: Any) -> Client:
    client = Client(**options)
    client.force_login(stored.login(*args))
    return client


def listed(client: Client) -> list[str]:
    return [row["athlete_id"] for row in client.get("/api/v1/athletes").json()["results"]]


def entries(client: Client, code: str = "a1") -> Any:
    return client.get(f"/api/v1/athletes/{code}/entries")


@pytest.mark.parametrize(("born", "status"), [(stored.MINOR, 201), (stored.ADULT, 404)], ids=["minor", "adult"])
def test_a_guardian_answers_for_a_minor_only(born: Any, status: int) -> None:
    ward = stored.athletes(["a1"], stored.squad(), born)
    client = signed_in("guardian", None, ward)
    assert post(client, GOOD).status_code == status
    assert entries(client).status_code == (200 if status == 201 else 404)
    assert CheckIn.objects.exists() is (status == 201)


@pytest.mark.parametrize("role", ["head-coach", "assistant", "medical", "manager"])
def test_whoever_sees_everything_still_does_not_answer_for_the_athlete(role: str) -> None:
    squad = stored.squad()
    stored.share(stored.athletes(["a1"], squad), role=role)
    client = signed_in(role, squad)
    assert listed(client) == ["a1"] and post(client, GOOD).status_code == 404
    assert nothing_stored()


def test_a_foreign_athlete_and_nobody_answer_alike() -> None:
    mine, _ = stored.athletes(["a1", "a2"], stored.squad())
    client = signed_in("athlete", None, [mine])
    for ask in (lambda code: post(client, GOOD, code), lambda code: entries(client, code)):
        foreign, nobody = ask("a2"), ask("zz9")
        assert (foreign.status_code, foreign["Content-Type"]) == (404, "application/problem+json")
        assert foreign.content == nobody.content
    assert nothing_stored()


def test_a_bad_body_tells_nothing_of_whether_the_athlete_exists() -> None:
    mine, _ = stored.athletes(["a1", "a2"], stored.squad())
    client = signed_in("athlete", None, [mine])
    assert post(client, {"reserve": 11}, "a2").content == post(client, {"reserve": 11}, "zz9").content


def test_a_session_without_its_token_is_refused_whoever_it_asks_for() -> None:
    """403, not 404: the person is known and has a role, and nothing was looked up that the answer could tell of."""
    mine, _ = stored.athletes(["a1", "a2"], stored.squad())
    client = signed_in("athlete", None, [mine], enforce_csrf_checks=True)
    answers = [post(client, GOOD, code) for code in ("a1", "a2", "zz9")]
    assert {(a.status_code, a["Content-Type"]) for a in answers} == {(403, "application/problem+json")}
    assert len({a.content for a in answers}) == 1 and b"CSRF" in answers[0].content
    assert nothing_stored()


def test_a_session_with_its_token_is_taken() -> None:
    client = signed_in("athlete", None, stored.athletes(["a1"], stored.squad()), enforce_csrf_checks=True)
    client.get("/login")
    token = client.cookies["csrftoken"].value
    assert post(client, GOOD, headers={"x-csrftoken": token}).status_code == 201
    assert post(client, GOOD, headers={"x-csrftoken": "x" * len(token)}).status_code == 403


def test_a_stranger_is_told_of_no_token() -> None:
    """Without a role the door comes before the token: the address does not exist."""
    stored.athletes(["a1"], stored.squad())
    answer = Client(enforce_csrf_checks=True).post(
        "/api/v1/athletes/a1/check-ins", json.dumps(GOOD), content_type="application/json"
    )
    assert answer.status_code == 404 and b"CSRF" not in answer.content and nothing_stored()


def test_only_those_are_listed_who_share_their_level() -> None:
    squad = stored.squad()
    rows = stored.athletes(["a1", "a2", "a3"], squad)
    stored.share(rows[:1], ["level"])
    stored.share(rows[1:2], ["checkins", "damage", "notes", "photos"])
    stored.share(stored.athletes(["b1"], stored.squad("other")), ["level"])
    assert listed(signed_in("head-coach", squad)) == ["a1"]
    assert listed(signed_in("athlete", squad, [rows[2]])) == ["a3"]


def shared_entries(*classes: str) -> dict[str, Any]:
    squad = stored.squad()
    rows = stored.athletes(["a1"], squad)
    stored.share(rows, classes)
    stored.conclude(rows, stored.event())
    return entries(signed_in("head-coach", squad)).json()


def test_an_entry_carries_level_readiness_reasons_and_deadlines() -> None:
    found = shared_entries("level", "checkins", "damage")
    (entry,) = found["entries"]
    assert (found["athlete_id"], found["as_of"], found["stale"]) == ("a1", "2027-03-11", False)
    assert (entry["event_id"], entry["level"], entry["first_day"]) == ("lindmark-cup", "act", "2027-03-20")
    assert entry["readiness"] == {"p": 0.46, "low": 0.31, "high": 0.62, "bar": 0.6, "bar_provisional": True}
    assert [r["code"] for r in entry["reasons"]] == ["split"] and entry["reasons"][0]["numbers"]["p_usable"] == 0.4
    assert [d["kind"] for d in entry["deadlines"]] == ["even-last", "look", "taped-try", "entry"]


def test_entries_are_cut_to_what_is_shared() -> None:
    found = shared_entries("level")
    (entry,) = found["entries"]
    assert found["shared"] == ["level"] and entry["readiness"]["p"] == 0.46
    assert entry["reasons"] == [] and [d["kind"] for d in entry["deadlines"]] == ["entry"]


def test_without_the_level_there_is_no_such_athlete() -> None:
    squad = stored.squad()
    stored.share(stored.athletes(["a1"], squad), ["checkins", "damage", "notes", "photos"])
    client = signed_in("head-coach", squad)
    assert entries(client).content == entries(client, "zz9").content and entries(client).status_code == 404


def test_an_athlete_without_a_conclusion_is_said_to_be_stale() -> None:
    found = entries(signed_in("athlete", None, stored.athletes(["a1"], stored.squad()))).json()
    assert (found["stale"], found["known_until"], found["entries"]) == (True, None, [])


def test_consent_withdrawn_today_takes_effect_on_the_next_request() -> None:
    squad = stored.squad()
    rows: list[Athlete] = stored.athletes(["a1"], squad)
    stored.share(rows, ["level"])
    client = signed_in("head-coach", squad)
    assert entries(client).status_code == 200 and listed(client) == ["a1"]
    stored.withdraw(stored.TODAY + timedelta(days=1), data_class="notes")
    assert entries(client).status_code == 200
    stored.withdraw()
    assert entries(client).status_code == 404 and listed(client) == []
