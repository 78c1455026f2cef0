"""Who may tell what of whom through the interface. Whoever may not finds nobody there, and nothing is stored."""

from __future__ import annotations

from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records import choices
from athletes.records.models import (
    Account,
    Athlete,
    Care,
    Correction,
    Damage,
    Decision,
    Event,
    Look,
    OverruledPause,
    Session,
    Sighting,
    Signoff,
)
from coaching.ledger.models import Staleness
from tests import stored
from tests.api_calls import pointers, send
from tests.api_cast import BODIES, cast

pytestmark = pytest.mark.django_db
OWN = {"check-in", "delivery of a check-in", "session done", "care done", "damage", "look"}
TEAM = {"session planned", "care planned", "look", "sighting", "overruled pause"}
MAY = {
    "athlete": OWN,
    "guardian": OWN,
    "head-coach": TEAM | {"decision"},
    "assistant": TEAM | {"decision"},
    "medical": TEAM | {"sign-off"},
    "manager": set(),
    "athlete of the squad": set(),
    "coach elsewhere": set(),
}
NEEDS = {"session planned": "checkins", "care planned": "checkins", "look": "damage", "sighting": "damage",
         "sign-off": "checkins", "overruled pause": "checkins", "decision": "level"}  # fmt: skip
TABLES = (Care, Session, Sighting, Signoff, Decision, Correction, OverruledPause)


@pytest.fixture(autouse=True)
def _now() -> Any:
    with time_machine.travel(stored.NOW, tick=False):
        yield


def do(client: Client, what: str, code: str = "a1", **changes: Any) -> Any:
    path, body = BODIES[what]
    return send(client, f"athletes/{code}/{path}", body | changes)


def rows() -> int:
    return sum(model.objects.count() for model in TABLES) + Damage.objects.count() + Look.objects.count()


@pytest.mark.parametrize("role", MAY)
def test_each_role_stores_what_is_its_to_tell_and_finds_nobody_otherwise(role: str) -> None:
    client = cast(role)
    before, rev = rows(), Staleness.objects.get().input_rev
    taken = {what for what in BODIES if do(client, what).status_code == 201}
    assert taken == MAY[role]
    assert rows() == before + len(taken - {"check-in", "delivery of a check-in"})
    twice = "delivery of a check-in" in taken  # as it arrives, and as what it comes to is stored
    assert Staleness.objects.get().input_rev == rev + len(taken) + twice


@pytest.mark.parametrize("role", MAY)
def test_what_is_refused_answers_as_for_nobody(role: str) -> None:
    client = cast(role)
    for what in BODIES.keys() - MAY[role]:
        refused, nobody = do(client, what), do(client, what, "zz9")
        assert (refused.status_code, refused.content) == (404, nobody.content)


@pytest.mark.parametrize("what", NEEDS)
def test_the_team_tells_only_where_the_class_is_shared(what: str) -> None:
    role = "medical" if what == "sign-off" else "head-coach"
    client = cast(role, set(choices.DATA_CLASSES) - {NEEDS[what]})
    assert do(client, what).status_code == 404


@pytest.mark.parametrize("what", sorted(TEAM))
def test_what_is_shared_with_another_role_of_theirs_does_not_let_a_coach_write(what: str) -> None:
    client = cast("head-coach")
    stored.withdraw(grantee_role="head-coach")
    squad = Athlete.objects.get(code="a1").memberships.get().squad
    both = stored.login("head-coach", squad)
    both.person.roles.create(role="manager", squad=squad)
    client.force_login(both)
    assert do(client, what).status_code == 404


def test_a_guardian_of_somebody_of_age_tells_nothing() -> None:
    client = cast("guardian", born=stored.ADULT)
    assert {do(client, what).status_code for what in BODIES} == {404}


def test_every_value_that_was_told_is_stored() -> None:
    client = cast("athlete")
    for what in OWN:
        do(client, what)
    session, care, look = Session.objects.get(), Care.objects.get(), Look.objects.get()
    damage = Damage.objects.exclude(code="d1").get()
    assert (session.planned, session.minutes, session.surface, session.ordinal) == (False, 90.5, "wood", 1)
    assert (care.status, care.form, look.stage, look.pain) == ("done", "wax balm", "closing", 2)
    assert (damage.worries, damage.length_mm) == (["dirty"], 4)


@pytest.mark.parametrize(("role", "by"), [("assistant", "coach"), ("medical", "medical")])
def test_a_sighting_says_whose_eyes_they_were(role: str, by: str) -> None:
    do(cast(role), "sighting")
    assert (Sighting.objects.get().by, Sighting.objects.get().marks) == (by, [["L-index-tip", "pink"]])


def test_a_second_session_of_the_slot_corrects_the_first() -> None:
    client = cast("athlete")
    answers = [do(client, "session done", minutes=n) for n in (60, 75)]
    assert [(a.status_code, a.json()["corrected"]) for a in answers] == [(201, False), (200, True)]
    assert Session.objects.get().minutes == 75 and Correction.objects.get().before["minutes"] == 60


def test_damage_told_again_is_the_same_episode_and_keeps_what_more_is_told() -> None:
    client = cast("athlete")
    first, again = do(client, "damage"), do(client, "damage", length_mm=6, cause="a sharp edge")
    assert first.json()["episode_id"] == again.json()["episode_id"]
    row, trace = Damage.objects.exclude(code="d1").get(), Correction.objects.get()
    assert (row.length_mm, row.cause, row.worries, trace.before["length_mm"]) == (6, "a sharp edge", ["dirty"], 4)


def test_planned_care_comes_with_its_caution() -> None:
    answer = do(cast("head-coach"), "care planned", verb="soften", form="wax balm").json()
    assert answer["caution"] and answer["source"]


@pytest.mark.parametrize(
    "profile", [{"sensitivities": ["methenamine", "formaldehyde"]}, {"contraindications": ["pregnancy"]}, {}]
)
def test_planned_care_that_a_hard_rule_forbids_is_refused_and_the_cause_not_told(profile: dict[str, Any]) -> None:
    """The third is a minor without sign-offs. Nobody learns from the answer which of the rules it was."""
    client = cast("head-coach")
    Athlete.objects.filter(code="a1").update(**profile)
    answer = do(client, "care planned", verb="dry", form="methenamine spray")
    assert pointers(answer) == ["#/form"] and not Care.objects.exists()
    assert not any(word in str(answer.content) for word in ("methen", "pregnan", "minor", "age ", "allergy"))


DECISION = {"event_id": "lindmark-cup", "kind": "look", "site": "R-middle-tip-crease", "answer": "decline"}


def test_a_decision_keeps_the_answer_and_why() -> None:
    client = cast("head-coach")
    assert send(client, "athletes/a1/decisions", DECISION | {"why": "away that day"}).status_code == 201
    row = Decision.objects.get()
    assert (row.kind, row.site, row.answer, row.why) == ("look", "R-middle-tip-crease", "decline", "away that day")
    assert (row.event, row.made_at, row.by) == (Event.objects.get(), stored.NOW, Account.objects.get())
    (found,) = client.get("/api/v1/athletes/a1/decisions").json()["results"]
    assert DECISION.items() <= found.items()


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"why": ""}, "#/why"),
        ({"why": " "}, "#/why"),
        ({"event_id": "no-cup", "why": "x"}, "#/event_id"),
        ({"kind": "even-last", "site": None, "why": "x"}, "#/kind"),
        ({"kind": "nonsense", "why": "x"}, "#/kind"),
        ({"site": None, "why": "x"}, "#/site"),
        ({"site": "R-web", "why": "x"}, "#/site"),
        ({"answer": "maybe"}, "#/answer"),
    ],
)
def test_only_what_waits_is_answered(change: dict[str, Any], pointer: str) -> None:
    """The deadline `even-last` of the cast is missed, so nothing waits there."""
    client = cast("head-coach")
    assert pointers(send(client, "athletes/a1/decisions", DECISION | change)) == [pointer]
    assert not Decision.objects.exists()


BAD = [
    ("session done", {"local_date": "2027-03-12"}, "#/local_date"),
    ("session done", {"planned": 0}, "#/planned"),
    ("session done", {"minutes": 1441}, "#/minutes"),
    ("session done", {"place_id": "nowhere"}, "#/place_id"),
    ("session done", {"started_at": "2027-03-11T08:00"}, "#/started_at"),
    ("session done", {"started_at": "2027-02-30T08:00:00Z"}, "#/started_at"),
    ("session done", {"started_at": "0001-01-01T00:00:00+14:00"}, "#/started_at"),
    ("session done", {"local_date": "0001-01-01"}, "#/local_date"),
    ("care done", {"form": "fan"}, "#/form"),
    ("care done", {"form": "snake oil"}, "#/form"),
    ("care done", {"sites": ["R-elbow"]}, "#/sites/0"),
    ("care done", {"product_note": "a\0b"}, "#/product_note"),
    ("care done", {"product_note": "\ud800"}, "#/product_note"),
    ("damage", {"noticed_on": "2027-03-12"}, "#/noticed_on"),
    ("damage", {"worries": ["ugly"]}, "#/worries/0"),
    ("damage", {"length_mm": 201}, "#/length_mm"),
    ("look", {"local_date": "2027-03-07"}, "#/local_date"),
    ("look", {"stage": None}, "#/stage"),
    ("look", {"athlete": 2}, "#/athlete"),
]


@pytest.mark.parametrize(("what", "change", "pointer"), BAD, ids=[f"{w} {c}"[:50] for w, c, _ in BAD])
def test_what_cannot_be_stored_is_named(what: str, change: dict[str, Any], pointer: str) -> None:
    client = cast("athlete")
    before = rows()
    assert pointers(do(client, what, **change)) == [pointer] and rows() == before


def test_a_sign_off_that_ends_before_it_begins_is_refused() -> None:
    assert pointers(do(cast("medical"), "sign-off", until="2027-03-10")) == ["#/until"]


def test_a_look_at_somebody_elses_damage_finds_nothing() -> None:
    client = cast("athlete")
    other = Athlete.objects.get(code="a2")
    Damage.objects.create(athlete=other, code="d2", site="R-web", kind="cut", noticed_on="2027-03-08")
    body = BODIES["look"][1]
    answers = [send(client, f"athletes/a1/damage/{code}/looks", body) for code in ("d2", "d9")]
    assert [a.status_code for a in answers] == [404, 404] and answers[0].content == answers[1].content
