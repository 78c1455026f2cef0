"""Another program posts a check-in: what is stored, what is refused, and that a refusal stores nothing at all."""

from __future__ import annotations

import json
from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Account, Athlete, CheckIn, Correction, Damage, Look
from coaching.ledger.models import Staleness
from tests import stored
from tests.api_calls import GOOD, nothing_stored, pointers, post

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _now() -> Any:
    with time_machine.travel(stored.NOW, tick=False):
        yield


@pytest.fixture
def two() -> list[Athlete]:
    return stored.athletes(["a1", "a2"], stored.squad())


@pytest.fixture
def mine(client: Client, two: list[Athlete]) -> Client:
    client.force_login(stored.login("athlete", None, [two[0]]))
    return client


def test_the_first_of_a_day_is_created_and_the_athlete_is_due(mine: Client, two: list[Athlete]) -> None:
    answer = post(mine, GOOD)
    said = {"athlete_id": "a1", "local_date": "2027-03-11", "corrected": False}
    assert (answer.status_code, answer.json()) == (201, said)
    row = CheckIn.objects.get()
    assert (row.athlete_id, row.reserve, row.agent_used, row.red_flags) == (two[0].id, 6, False, [])
    assert Staleness.objects.get().athlete_id == two[0].id


def test_a_second_one_corrects_it_and_leaves_a_trace(mine: Client) -> None:
    post(mine, GOOD)
    answer = post(mine, {"local_date": "2027-03-11", "reserve": 3})
    assert (answer.status_code, answer.json()["corrected"]) == (200, True)
    trace, row = Correction.objects.get(), CheckIn.objects.get()
    assert (row.reserve, row.dampness, trace.before["reserve"], trace.after["reserve"]) == (3, 4, 6, 3)
    assert trace.by == Account.objects.get()


def test_the_same_one_again_answers_as_the_first_did(mine: Client) -> None:
    """A program whose answer was lost on the way may send again."""
    first, again = post(mine, GOOD), post(mine, GOOD)
    assert (again.status_code, again.content) == (first.status_code, first.content)
    assert CheckIn.objects.count() == 1 and not Correction.objects.exists()


def test_marks_damage_looks_and_a_note_in_any_script_are_stored(mine: Client, two: list[Athlete]) -> None:
    episode = Damage.objects.create(code="d1", athlete=two[0], site="L-ring-tip", kind="split", noticed_on="2027-03-08")
    more = {
        "marks": [{"site": "L-index-tip", "mark": "pink"}],
        "damage": [{"site": "R-web", "kind": "tear", "depth": "deep"}],
        "looks": [{"episode_id": "d1", "stage": "closing", "pain": 5.0, "opens_on_pull": True}],
        "note": "पकड़ 🧗 тонкая",
    }
    assert post(mine, GOOD | more).status_code == 201
    row, look = CheckIn.objects.get(), Look.objects.get()
    assert (row.marks, row.note) == ([["L-index-tip", "pink"]], "पकड़ 🧗 тонкая")
    assert (look.damage, look.pain, look.opens_on_pull) == (episode, 5, True)
    assert Damage.objects.exclude(pk=episode.pk).get().site == "R-web"


REFUSED = [
    ('"local_date": "2027-02-30"', "#/local_date"),
    ('"local_date": "11.3.2027"', "#/local_date"),
    ('"local_date": "2027-W10-4"', "#/local_date"),
    ('"local_date": 20270311', "#/local_date"),
    ('"local_date": null', "#/local_date"),
    ('"local_date": "2027-03-12"', "#/local_date"),
    ('"local_date": "2027-01-01"', "#/local_date"),
    ('"reserve": 11', "#/reserve"),
    ('"reserve": -1', "#/reserve"),
    ('"reserve": 5.5', "#/reserve"),
    ('"reserve": true', "#/reserve"),
    ('"reserve": "6"', "#/reserve"),
    ('"reserve": NaN', "#/reserve"),
    ('"dampness": Infinity', "#/dampness"),
    ('"sting": -Infinity', "#/sting"),
    ('"hardness": 1e999', "#/hardness"),
    (f'"pull_pain": {"9" * 5000}', "#/pull_pain"),
    (f'"pull_pain": {"9" * 18}', "#/pull_pain"),
    ('"rating_step": 3', "#/rating_step"),
    ('"rating_step": true', "#/rating_step"),
    ('"agent_used": "yes"', "#/agent_used"),
    ('"agent_used": 1', "#/agent_used"),
    ('"seconds": NaN', "#/seconds"),
    ('"seconds": -1', "#/seconds"),
    (f'"seconds": {"9" * 400}', "#/seconds"),
    ('"note": 5', "#/note"),
    ('"note": NaN', "#/note"),
    ('"note": "\\ud800"', "#/note"),
    ('"note": "a\\u0000b"', "#/note"),
    ('"note": "a\\u0007b"', "#/note"),
    (f'"note": "{"x" * 2001}"', "#/note"),
    ('"marks": "pink"', "#/marks"),
    ('"marks": [{"site": "L-index-tip", "mark": "pink"}, {"site": "L-elbow", "mark": "pink"}]', "#/marks/1/site"),
    ('"marks": [{"site": "L-index-tip", "mark": "\\ud800"}]', "#/marks/0/mark"),
    ('"red_flags": ["pus", "itch"]', "#/red_flags/1"),
    ('"damage": [{"site": "L-thumb-middle", "kind": "split"}]', "#/damage/0/site"),
    ('"damage": [{"site": ["R-web"], "kind": "split"}]', "#/damage/0/site"),
    ('"damage": [{"site": "R-web", "kind": "burn"}]', "#/damage/0/kind"),
    ('"damage": [{"site": "R-web", "kind": "cut", "size": 3}]', "#/damage/0/size"),
    ('"looks": [{"episode_id": "nobody", "stage": "open"}]', "#/looks/0/episode_id"),
    ('"looks": [{"episode_id": "theirs", "stage": "open"}]', "#/looks/0/episode_id"),
    ('"looks": [{"episode_id": "nobody", "stage": "open", "pain": 11}]', "#/looks/0/pain"),
    ('"mood": 3', "#/mood"),
    ('"a/b~c d": 3', "#/a~1b~0c%20d"),
    ('"\\ud800": 3', "#/%5Cud800"),
]


@pytest.mark.parametrize(("member", "pointer"), REFUSED, ids=[f"{m[:34]}" for m, _ in REFUSED])
def test_what_cannot_be_stored_is_named_and_nothing_is_stored(
    mine: Client, two: list[Athlete], member: str, pointer: str
) -> None:
    theirs = Damage.objects.create(code="theirs", athlete=two[1], site="R-web", kind="cut", noticed_on="2027-03-08")
    name = member.split(":")[0].strip('"')
    rest = {key: value for key, value in GOOD.items() if key != name}
    assert pointers(post(mine, "{" + member + ", " + json.dumps(rest)[1:])) == [pointer]
    theirs.delete()
    assert nothing_stored()


def test_every_bad_value_of_a_body_is_named(mine: Client) -> None:
    body = {"reserve": 11, "sting": 10.5, "mark": []}
    assert sorted(pointers(post(mine, body))) == ["#/mark"]
    assert sorted(pointers(post(mine, {"reserve": 11, "sting": 10.5}))) == ["#/local_date", "#/reserve", "#/sting"]


def test_good_damage_is_not_stored_where_a_look_is_bad(mine: Client) -> None:
    body = GOOD | {
        "damage": [{"site": "R-web", "kind": "tear"}],
        "looks": [{"episode_id": "nobody", "stage": "open"}],
    }
    assert pointers(post(mine, body)) == ["#/looks/0/episode_id"]
    assert nothing_stored()


def test_a_look_from_before_the_damage_names_the_day(mine: Client, two: list[Athlete]) -> None:
    Damage.objects.create(code="d1", athlete=two[0], site="R-web", kind="cut", noticed_on="2027-03-11")
    looks = {"local_date": "2027-03-10", "looks": [{"episode_id": "d1", "stage": "open"}]}
    assert pointers(post(mine, GOOD | looks)) == ["#/local_date"]
    assert not CheckIn.objects.exists() and not Look.objects.exists()


@pytest.mark.parametrize("more", [{}, {"note": " ", "seconds": 9}, {"rating_step": 2, "damage": [], "reserve": None}])
def test_a_check_in_without_an_answer_is_refused(mine: Client, more: dict[str, Any]) -> None:
    assert pointers(post(mine, {"local_date": "2027-03-11"} | more)) == ["#/reserve"]
    assert nothing_stored()


def test_none_of_these_does_not_wipe_an_emergency(mine: Client) -> None:
    post(mine, GOOD | {"red_flags": ["streak"]})
    assert post(mine, GOOD | {"reserve": 9, "red_flags": []}).status_code == 200
    assert (CheckIn.objects.get().red_flags, CheckIn.objects.get().reserve) == (["streak"], 9)


def test_broken_json_says_where(mine: Client) -> None:
    answer = post(mine, '{"local_date": "2027-03-11",\n "reserve": ')
    assert answer.status_code == 400 and "not JSON" in answer.json()["detail"]
    assert "line 2 column 13" in answer.json()["detail"]


def test_no_body_is_a_body_without_a_day(mine: Client) -> None:
    assert pointers(post(mine, b"")) == ["#/local_date"] and nothing_stored()


@pytest.mark.parametrize("body", ["[]", "null", '"x"', "5", "NaN"])
def test_a_body_that_is_no_object_is_refused_as_a_whole(mine: Client, body: str) -> None:
    assert pointers(post(mine, body)) == ["#"]


@pytest.mark.parametrize(
    "raw",
    [b"{", b'{"reserve": 6', b"\xff\xfe", b"reserve=6", b"[" * 100_000, b'{"reserve": 6, "reserve": 9}'],
    ids=["open", "cut off", "not UTF-8", "a form", "deep", "a name twice"],
)
def test_what_is_no_json_cannot_be_read(mine: Client, raw: bytes) -> None:
    answer = post(mine, raw)
    assert (answer.status_code, answer["Content-Type"]) == (400, "application/problem+json")
    assert answer.json()["title"] == "Bad Request" and nothing_stored()


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"])
def test_another_content_type_is_not_guessed_at(mine: Client, kind: str) -> None:
    answer = post(mine, json.dumps(GOOD), content_type=kind)
    assert (answer.status_code, answer["Content-Type"]) == (415, "application/problem+json")
    assert kind.split(";")[0] in answer.json()["detail"] and nothing_stored()


def test_a_body_beyond_measure_is_not_read_to_its_end(mine: Client) -> None:
    answer = post(mine, GOOD | {"note": "x" * 300_000})
    assert (answer.status_code, answer.json()["status"]) == (413, 413) and nothing_stored()


def test_another_method_is_told_which_there_is(mine: Client) -> None:
    answer = mine.put("/api/v1/athletes/a1/check-ins")
    assert (answer.status_code, answer["Content-Type"]) == (405, "application/problem+json")
    assert "POST" in answer["Allow"]
