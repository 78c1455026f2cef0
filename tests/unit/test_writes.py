"""Append and correct: a second report corrects the first and leaves a trace; a bad value is named."""

from __future__ import annotations

import math
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from athletes.records import writes
from athletes.records.errors import BadInput, NotFound
from athletes.records.models import Athlete, Care, CheckIn, Correction, Damage, Look, Session, Sighting
from coaching.rules.medical import UNNAMED_SIGN

pytestmark = pytest.mark.django_db
DAY = date(2027, 3, 11)
AT = datetime(2027, 3, 11, 7, tzinfo=UTC)


@pytest.fixture
def one() -> int:
    return Athlete.objects.create(code="a1", name="Ayo").id


def check_in(one: int, at: datetime = AT, **answers: Any) -> bool:
    return writes.store_checkin(athlete_id=one, answers={"local_date": DAY, **answers}, made_at=at)


def test_a_second_checkin_corrects_the_first_with_a_trace(one: int) -> None:
    assert check_in(one, reserve=6, sting=2, note="ok") is False
    assert check_in(one, AT + timedelta(hours=1), reserve=4) is True
    row, trace = CheckIn.objects.get(), Correction.objects.get()
    assert (row.reserve, row.sting, row.note) == (4, 2, "ok")
    assert (trace.before["reserve"], trace.after["reserve"], trace.row_id) == (6, 4, row.pk)


def test_flags_of_a_day_only_grow(one: int) -> None:
    check_in(one, red_flags=["streak"])
    check_in(one, reserve=8, red_flags=[])
    assert CheckIn.objects.get().red_flags == ["streak"] and CheckIn.objects.get().reserve == 8
    check_in(one, red_flags=["pus"])
    assert CheckIn.objects.get().red_flags == ["pus", "streak"]


def test_a_sign_that_was_not_named_outlives_a_new_note(one: int) -> None:
    check_in(one, note=UNNAMED_SIGN)
    check_in(one, note="tape came off", red_flags=[])
    assert CheckIn.objects.get().note == f"tape came off\n{UNNAMED_SIGN}"


def test_the_same_answers_sent_again_change_nothing(one: int) -> None:
    check_in(one, reserve=6, marks=[("L-index-tip", "pink")], seconds=20)
    assert (
        check_in(one, AT + timedelta(minutes=1), reserve=6, marks=[("L-index-tip", "pink")], seconds=31)
        is False
    )
    assert not Correction.objects.exists() and CheckIn.objects.get().made_at == AT


@pytest.mark.parametrize(
    ("answers", "field"),
    [
        ({"reserve": 11}, "reserve"),
        ({"reserve": -1}, "reserve"),
        ({"reserve": True}, "reserve"),
        ({"reserve": "6"}, "reserve"),
        ({"dampness": math.nan}, "dampness"),
        ({"seconds": math.inf}, "seconds"),
        ({"sting": 2.5}, "sting"),
        ({"agent_used": "yes"}, "agent_used"),
        ({"marks": [("L-index", "pink")]}, "marks"),
        ({"marks": [("L-index-tip", "green")]}, "marks"),
        ({"marks": "L-index-tip=pink"}, "marks"),
        ({"red_flags": ["sad"]}, "red_flags"),
        ({"note": "x" * 20_000}, "note"),
        ({"local_date": None}, "local_date"),
        ({"local_date": "2027-03-11"}, "local_date"),
        ({"local_date": date(27, 3, 11)}, "local_date"),
        ({"mood": 3}, "mood"),
    ],
)
def test_a_bad_answer_is_named_and_nothing_is_stored(one: int, answers: dict[str, Any], field: str) -> None:
    with pytest.raises(BadInput) as error:
        check_in(one, **answers)
    assert error.value.field == field and error.value.problem
    assert not CheckIn.objects.exists()


def test_damage_noticed_twice_in_a_day_is_one_episode(one: int) -> None:
    told = {"athlete_id": one, "site": "L-index-tip", "kind": "split", "noticed_on": DAY}
    first = writes.open_damage(**told)
    assert writes.open_damage(**told, depth="deep", made_at=AT) == first
    assert Damage.objects.get().depth == "deep" and Correction.objects.get().before["depth"] == ""


@pytest.mark.parametrize(("change", "field"), [({"site": "tip"}, "site"), ({"kind": "hole"}, "kind")])
def test_damage_that_cannot_be_is_named(one: int, change: dict[str, str], field: str) -> None:
    told = {"athlete_id": one, "site": "L-index-tip", "kind": "split", "noticed_on": DAY, **change}
    with pytest.raises(BadInput) as error:
        writes.open_damage(**told)
    assert error.value.field == field


def look(one: int, code: str, stage: str, **seen: Any) -> bool:
    return writes.add_look(athlete_id=one, episode_code=code, local_date=DAY, stage=stage, **seen)


def test_a_second_look_of_a_day_corrects_the_first(one: int) -> None:
    check_in(one, reserve=5)
    code = writes.open_damage(athlete_id=one, site="L-index-tip", kind="split", noticed_on=DAY)
    assert look(one, code, "open", pain=5) is False
    assert look(one, code, "closing") is True
    row = Look.objects.get()
    assert (row.stage, row.pain) == ("closing", 5) and Correction.objects.get().made_at == AT


def test_a_look_at_somebody_elses_damage_is_not_found(one: int) -> None:
    other = Athlete.objects.create(code="a2", name="Mara").id
    code = writes.open_damage(athlete_id=other, site="L-index-tip", kind="split", noticed_on=DAY)
    for unknown in (code, "nothing"):
        with pytest.raises(NotFound):
            look(one, unknown, "open")


def test_a_look_before_the_damage_is_refused(one: int) -> None:
    code = writes.open_damage(
        athlete_id=one, site="L-index-tip", kind="cut", noticed_on=DAY + timedelta(days=1)
    )
    with pytest.raises(BadInput, match="local_date"):
        look(one, code, "open")


def test_a_session_with_the_same_number_is_corrected_and_another_is_added(one: int) -> None:
    values = {"local_date": DAY, "planned": False, "minutes": 60, "rpe": 5}
    store = {"athlete_id": one, "made_at": AT}
    assert writes.store_session(values=values, **store) is False
    assert writes.store_session(values=values | {"minutes": 90}, **store) is True
    assert writes.store_session(values=values | {"ordinal": 2}, **store) is False
    assert sorted(Session.objects.values_list("ordinal", "minutes")) == [(1, 90), (2, 60)]
    with pytest.raises(BadInput, match="place_id"):
        writes.store_session(values=values | {"place_id": "nowhere"}, **store)


def test_care_is_a_form_of_its_verb(one: int) -> None:
    values = {"local_date": DAY, "status": "done", "verb": "dry", "form": "sand"}
    with pytest.raises(BadInput, match="form"):
        writes.store_care(athlete_id=one, values=values)
    writes.store_care(athlete_id=one, values=values | {"verb": "even"})
    assert Care.objects.get().form == "sand"


def test_a_sighting_is_stored(one: int) -> None:
    values = {"local_date": DAY, "by": "coach", "marks": [("L-index-tip", "pink")]}
    writes.store_sighting(athlete_id=one, values=values)
    assert Sighting.objects.get().marks == [["L-index-tip", "pink"]]
