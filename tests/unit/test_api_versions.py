"""ETag and If-Match: a change names the version that was seen, and of two at once one is told."""

from __future__ import annotations

from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Correction, Damage, Entry, Event, Look
from coaching.ledger.models import Staleness
from tests import stored
from tests.api_calls import pointers, send

pytestmark = pytest.mark.django_db
LOOK, EVENT, ENTRY = "athletes/a1/looks/{}", "events/lindmark-cup", "events/lindmark-cup/entries/a1"


@pytest.fixture(autouse=True)
def _now() -> Any:
    with time_machine.travel(stored.NOW, tick=False):
        yield


@pytest.fixture
def coach() -> Client:
    squad = stored.squad()
    rows = stored.athletes(["a1"], squad)
    stored.share(rows, ["level", "damage"])
    stored.conclude(rows, stored.event())
    damage = Damage.objects.create(athlete=rows[0], code="d1", site="R-web", kind="cut", noticed_on="2027-03-08")
    Look.objects.create(damage=damage, local_date="2027-03-10", stage="open", pain=4)
    client = Client()
    client.force_login(stored.login("head-coach", squad))
    return client


def paths() -> dict[str, tuple[str, dict[str, Any]]]:
    look = LOOK.format(Look.objects.get().pk)
    entry = (ENTRY, {"status": "stand-in"})
    return {"look": (look, {"stage": "closing"}), "event": (EVENT, {"bar": 55}), "entry": entry}


def tag(client: Client, path: str) -> str:
    return client.get(f"/api/v1/{path}")["ETag"]


def change(client: Client, path: str, body: Any, seen: str | None) -> Any:
    return send(client, path, body, "patch", headers={} if seen is None else {"if-match": seen})


@pytest.mark.parametrize("what", ["look", "event", "entry"])
def test_a_change_over_what_was_seen_is_stored_with_a_trace(coach: Client, what: str) -> None:
    path, body = paths()[what]
    seen, rev = tag(coach, path), Staleness.objects.get().input_rev
    answer = change(coach, path, body | {"why": "saw it again"}, seen)
    assert answer.status_code == 200 and body.items() <= answer.json().items()
    assert answer["ETag"] == tag(coach, path) != seen and not seen.startswith("W/")
    trace = Correction.objects.get()
    assert (trace.table, trace.why, trace.before["version"], trace.after["version"]) == (what, "saw it again", 1, 2)
    assert Staleness.objects.get().input_rev == rev + 1


@pytest.mark.parametrize("what", ["look", "event", "entry"])
def test_a_second_change_over_the_same_version_is_told(coach: Client, what: str) -> None:
    path, body = paths()[what]
    seen = tag(coach, path)
    assert [change(coach, path, body, seen).status_code for _ in range(2)] == [200, 412]
    assert Correction.objects.count() == 1


@pytest.mark.parametrize("seen", [None, "", "*"])
def test_a_change_of_something_unseen_is_refused(coach: Client, seen: str | None) -> None:
    answer = change(coach, EVENT, {"bar": 55}, seen)
    assert answer.status_code == 428 and "If-Match" in answer.json()["detail"]
    assert Event.objects.get().bar is None


@pytest.mark.parametrize("seen", ['W/"1-00000000"', '"1"', '"2-00000000"', "1-00000000", '"0-00000000"', "x", "\x7f"])
def test_a_tag_that_is_weak_or_not_ours_matches_nothing(coach: Client, seen: str) -> None:
    assert change(coach, EVENT, {"bar": 55}, seen).status_code == 412
    assert Event.objects.get().bar is None


def test_one_of_several_tags_is_enough(coach: Client) -> None:
    assert change(coach, EVENT, {"bar": 55}, f'"7-00000000", {tag(coach, EVENT)}').status_code == 200


def test_who_has_it_already_is_not_sent_it_again(coach: Client) -> None:
    for path in (EVENT, ENTRY, "athletes/a1", "athletes/a1/entries", paths()["look"][0]):
        answer = coach.get(f"/api/v1/{path}", headers={"if-none-match": tag(coach, path)})
        assert (answer.status_code, answer.content, answer["ETag"]) == (304, b"", tag(coach, path))


def test_a_look_corrected_by_a_second_one_of_the_day_has_a_new_version(coach: Client) -> None:
    path, body = paths()["look"]
    seen = tag(coach, path)
    again = {"local_date": "2027-03-10", "stage": "rimmed"}
    answer = send(coach, "athletes/a1/damage/d1/looks", again)
    assert (answer.status_code, answer["Location"]) == (200, f"/api/v1/{path}")
    assert change(coach, path, body, seen).status_code == 412 and Look.objects.get().stage == "rimmed"


@pytest.mark.parametrize(
    ("what", "body", "pointer"),
    [
        ("look", {}, "#"),
        ("look", {"why": "no reason"}, "#"),
        ("look", {"stage": None}, "#/stage"),
        ("look", {"stage": "gone"}, "#/stage"),
        ("look", {"pain": 11}, "#/pain"),
        ("look", {"local_date": "2027-03-01"}, "#/local_date"),
        ("look", {"version": 7}, "#/version"),
        ("event", {"bar": 101}, "#/bar"),
        ("event", {"bar": "55"}, "#/bar"),
        ("event", {"name": "Mine"}, "#/name"),
        ("event", {"bar": 55, "why": "a\0b"}, "#/why"),
        ("entry", {"status": "gone"}, "#/status"),
        ("entry", {"athlete_id": "a2"}, "#/athlete_id"),
    ],
)
def test_what_cannot_be_changed_is_named(coach: Client, what: str, body: Any, pointer: str) -> None:
    path = paths()[what][0]
    assert pointers(change(coach, path, body, tag(coach, path))) == [pointer]
    assert not Correction.objects.exists()


def test_null_takes_an_answer_and_a_bar_back(coach: Client) -> None:
    path = paths()["look"][0]
    assert change(coach, path, {"pain": None}, tag(coach, path)).json()["pain"] is None
    change(coach, EVENT, {"bar": 55}, tag(coach, EVENT))
    assert change(coach, EVENT, {"bar": None}, tag(coach, EVENT)).json()["bar"] is None


def test_a_coach_of_some_does_not_set_the_bar_of_others(coach: Client) -> None:
    other = stored.athletes(["b1"], stored.squad("other"))
    Entry.objects.create(event=Event.objects.get(), athlete=other[0])
    assert change(coach, EVENT, {"bar": 55}, tag(coach, EVENT)).status_code == 404
    assert Event.objects.get().bar is None
