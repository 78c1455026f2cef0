"""In session: a set of taps, counted once whatever the order; the limit beside them; the session filled in from it."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client

from athletes.records import taps
from athletes.records.models import Account, Athlete, CheckIn, Correction, Session, Tap
from athletes.records.taps import TapTold
from coaching.rules.conclusions import Limit, Today
from coaching.usecases.tally import Tally, tally
from tests import pocket_cast, stored
from tests import shown_cast as cast
from tests.pocket_cast import client
from tests.unit.test_session_page import chosen

pytestmark = pytest.mark.django_db
PAGE, DAY = "/me/tally", stored.TODAY


@pytest.fixture
def people() -> Iterator[dict[str, Account]]:
    with time_machine.travel(stored.NOW, tick=False):
        yield pocket_cast.people()


def press(who: Client, tap: str, key: str = "", **more: Any) -> Any:
    told = {"tap": tap, "day": DAY.isoformat(), "n": "1", **({"idempotency_key": key} if key else {})}
    return who.post(more.pop("page", PAGE), {**told, **more})


def shown(who: Client, page: str = PAGE) -> str:
    return who.get(page).content.decode()


def number(html: str) -> int:
    return int(html.split('class="tally-number">')[1].split("<")[0])


def test_each_tap_counts_once_on_its_surface(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    for key, surface in (("k1", "plastic"), ("k2", "plastic"), ("k2", "plastic"), ("k3", "sharp rock")):
        answer = press(who, f"try {surface}", key)
    assert (answer.status_code, answer["Location"], Tap.objects.count()) == (302, PAGE, 3)
    html = shown(who)
    assert number(html) == 3 and "2 on plastic and 1 on sharp rock" in html


def test_the_last_one_can_be_taken_back_and_the_one_before_it_then(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    for key in ("k1", "k2"):
        press(who, "try wood", key)
    for left in (1, 0):
        html = shown(who)
        press(who, html.split('value="back ')[1].split('"')[0].join(("back ", "")))
        assert number(shown(who)) == left
    assert 'value="back ' not in shown(who) and Tap.objects.filter(taken_back=True).count() == 2


def fold(log: list[tuple[str, TapTold]]) -> dict[str, int]:
    Tap.objects.all().delete()
    athlete_id = Athlete.objects.get(code="a1").id
    for what, tap in log:
        (taps.take_back if what == "back" else taps.store)(athlete_id, tap)
    return taps.counts(taps.of_day(athlete_id, DAY))


def test_the_order_in_which_taps_arrive_changes_nothing(people: dict[str, Account]) -> None:
    """Two phones, repeats, and takings back that come before their taps: 60 shuffles of one log, one result."""
    draw = random.Random(7)  # noqa: S311 - a test's dice
    made = [TapTold(f"k{n}", DAY, 1, "try", stored.NOW, draw.choice(["wood", "plastic"])) for n in range(14)]
    gone = {made[n].key for n in (2, 5, 6, 11)}
    log = [("tap", tap) for tap in made] + [("back", replace(t, what="end", surface="")) for t in made if t.key in gone]
    wanted = [tap.surface for tap in made if tap.key not in gone]
    for _ in range(60):
        sent = log + draw.sample(log, 6)
        draw.shuffle(sent)
        assert fold(sent) == {s: wanted.count(s) for s in ("plastic", "wood") if s in wanted}


def test_a_tap_without_sense_is_not_counted_and_says_so(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    tomorrow = (DAY + timedelta(days=1)).isoformat()
    for tap, more in (("try glass", {}), ("jump", {}), ("try wood", {"day": tomorrow}), ("try wood", {"n": "0"}),
                      ("try wood", {"idempotency_key": "x" * 201, "n": "ten"})):  # fmt: skip
        assert press(who, tap, **more).status_code == 302
        assert 'class="message' in shown(who)
    assert not Tap.objects.exists()


def test_what_was_counted_fills_in_the_session_and_a_plan_does_not_outrank_it(people: dict[str, Account]) -> None:
    who, athlete = client(people["athlete"]), Athlete.objects.get(code="a1")
    Session.objects.create(
        athlete=athlete, local_date=DAY, planned=True, ordinal=1, minutes=120.0, rpe=8.0, surface="wood", hard_tries=30
    )
    for n, surface in enumerate(("plastic", "plastic", "wood")):
        with time_machine.travel(stored.NOW + timedelta(minutes=20 * n), tick=False):
            press(who, f"try {surface}", f"k{n}")
    with time_machine.travel(stored.NOW + timedelta(minutes=41), tick=False):
        answer = press(who, "end", "k9")
        html = shown(who, answer["Location"])
    assert answer["Location"] == f"/me/session?day={DAY}&n=1"
    assert "3 hard tries: 2 on plastic and 1 on wood" in html
    assert [chosen(html, name) for name in ("surface", "skin_limited", "rpe")] == [["plastic"], [], ["8"]]
    assert 'name="minutes" inputmode="decimal" autocomplete="off" value="40"' in html
    assert 'name="hard_tries" inputmode="numeric" autocomplete="off" value="3"' in html
    assert not Session.objects.filter(planned=False).exists()  # counted is not told


def test_told_as_it_stands_it_is_the_session_and_the_next_count_is_the_next_session(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    for n in range(4):
        press(who, "try plastic", f"k{n}")
    press(who, "end", "k9")
    who.post(f"/me/session?day={DAY}&n=1", {"skin_limited": "no", "hard_tries": "4", "surface": "plastic"})
    assert Session.objects.get().hard_tries == 4
    html = shown(who)
    assert number(html) == 0 and 'name="n" value="2"' in html


def test_going_through_ends_it_and_asks_where(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    CheckIn.objects.create(
        athlete=Athlete.objects.get(code="a1"), local_date=DAY, reserve=6, marks=[["L-ring-tip", "glassy"]]
    )
    press(who, "try plastic", "k1")
    assert press(who, "skin", "k2")["Location"] == PAGE
    html = shown(who)
    assert "Where?" in html and 'value="try plastic"' not in html
    answer = who.post(PAGE, {"tap": "where", "end": "k2", "site": "R-index-tip"})
    assert answer["Location"] == f"/me/session?day={DAY}&n=1"
    row = CheckIn.objects.get()
    assert row.reserve == 6 and sorted(row.marks) == [["L-ring-tip", "glassy"], ["R-index-tip", "pink"]]
    assert Correction.objects.get(table="checkin").before["marks"] == [["L-ring-tip", "glassy"]]
    assert chosen(shown(who, answer["Location"]), "skin_limited") == ["yes"]
    assert Tap.objects.get(key="k2").site == "R-index-tip" and "Ended: right index, tip pad" in shown(who)


def test_it_has_opened_leads_to_the_note_with_its_place(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    press(who, "skin", "k2")
    answer = who.post(PAGE, {"tap": "opened", "end": "k2", "site": "R-index-tip"})
    assert answer["Location"] == "/me/damage?end=k2"  # no site in an address, which logs keep
    assert chosen(shown(who, answer["Location"]), "site") == ["R-index-tip"]
    assert not CheckIn.objects.exists()  # open skin is no pink tip
    assert who.post(PAGE, {"tap": "where", "end": "k2", "site": "R-thumb-middle"}).status_code == 302
    assert Tap.objects.get().site == "R-index-tip"


def test_an_end_by_mistake_is_taken_back(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    press(who, "try wood", "k1")
    press(who, "end", "k2")
    assert 'value="try wood"' not in shown(who)
    press(who, "back k2")
    assert number(shown(who)) == 1 and 'value="try wood"' in shown(who)


def conclude(limits: tuple[Limit, ...], may: str = "free") -> None:
    athlete = replace(cast.athlete(), limits=limits, today=Today(may), medical="none")
    stored.conclude([Athlete.objects.get(code="a1")], stored.event(), athlete)


@pytest.mark.parametrize(
    ("limits", "most"),
    [
        ((), None),
        ((Limit(DAY, "plastic", 60, 10),), 10),
        ((Limit(DAY, "plastic", 60, 10), Limit(DAY, "wood", None, 4)), 4),
        ((Limit(DAY, None, None, None),), 0),
        ((Limit(DAY, "plastic", 60, None),), None),
        ((Limit(DAY, "plastic", 60, 3, if_="look:2027-03-11"),), None),
        ((Limit(DAY + timedelta(days=1), "plastic", 60, 3),), None),
    ],
)
def test_the_days_limit_is_the_least_that_holds_without_a_condition(
    people: dict[str, Account], limits: tuple[Limit, ...], most: int | None
) -> None:
    conclude(limits)
    found = tally_of(people)
    assert found.most_tries == most


def tally_of(people: dict[str, Account]) -> Tally:
    from athletes.records import access

    return tally(access.viewer_for(people["athlete"], DAY))


def test_the_limit_and_the_stop_rule_are_in_sight_and_the_last_try_is_said_to_be_it(people: dict[str, Account]) -> None:
    conclude((Limit(DAY, "plastic", 60, 3),), "protected")
    who, said = client(people["athlete"]), []
    for n in range(4):
        html = shown(who)
        assert all(s in html for s in ("no rougher than plastic", "Stop before a tip opens", "May climb, protected"))
        said.append(html.split('class="tally-left')[1].split(">")[1].split("<")[0])
        press(who, "try plastic", f"k{n}")
    assert said == ["3 left today", "2 left today", "1 left today", "That was the last one for today. Stop here."]
    assert "1 over what today allows" in shown(who)


def test_a_verdict_of_no_climbing_is_said_and_what_happened_all_the_same_is_counted(people: dict[str, Account]) -> None:
    conclude((), "medical")
    who = client(people["athlete"])
    assert "The verdict says no." in shown(who)
    press(who, "try wood", "k1")
    assert number(shown(who)) == 1


def test_the_hour_of_a_phone_is_taken_only_where_it_can_be(people: dict[str, Account]) -> None:
    who = client(people["athlete"])
    hours = {"k1": stored.NOW - timedelta(minutes=50), "k2": stored.NOW + timedelta(days=1), "k3": "nonsense"}
    for key, at in hours.items():
        press(who, "try wood", key, at=at if isinstance(at, str) else at.isoformat())
    made = dict(Tap.objects.values_list("key", "made_at"))
    assert made == {"k1": hours["k1"], "k2": stored.NOW, "k3": stored.NOW}


def test_a_guardian_counts_for_the_ward_and_nobody_for_anybody_else(people: dict[str, Account]) -> None:
    assert press(client(people["guardian"]), "try wood", "k1", page=f"{PAGE}?for=m1").status_code == 302
    assert Tap.objects.get().athlete.code == "m1"
    for role in ("other", "guardian", "head-coach"):
        for code in ("a1", "nobody"):
            assert press(client(people[role]), "try wood", "k2", page=f"{PAGE}?for={code}").status_code == 404
    press(client(people["other"]), "back k1")  # the same key of somebody else is another tap
    assert Tap.objects.get(athlete__code="m1").taken_back is False
