"""A review tells what was said before, what was told of the days, and which last days had gone by, to whom they are
shared.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Account, Athlete, Damage, Entry, Event, Session
from coaching.ledger.models import KeptForecast
from coaching.usecases.review import review
from coaching.usecases.sign_in import viewer
from tests import stored

pytestmark = pytest.mark.django_db
FIRST, LAST = stored.TODAY - timedelta(days=4), stored.TODAY - timedelta(days=3)


@pytest.fixture
def coach() -> Iterator[Account]:
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes(["a0", "a1", "a2", "little", "nothing"], squad)
        stored.share(rows[:3])
        stored.share(rows[3:4], ["level"])
        common = {"kind": "competition", "timezone": "Europe/Stockholm", "first_day": FIRST, "last_day": LAST}
        cup = Event.objects.create(code="past", name="Past cup", **common)
        for row in rows:
            Entry.objects.create(event=cup, athlete=row)
        yield stored.login("head-coach", squad)


def athlete(code: str) -> Athlete:
    return Athlete.objects.get(code=code)


def kept(code: str, days_before: int, p: float, *, afterwards: bool = False) -> None:
    quantiles = [[1.0, 2.0], [1.0, 2.0]]
    KeptForecast.objects.create(
        athlete=athlete(code), made_on=FIRST - timedelta(days=days_before), target_day=FIRST, until_day=LAST,
        event_id=Event.objects.get(code="past").id, model="2026.4", p=p, low=p - 0.02, high=p + 0.02, p_skin=p,
        told=quantiles, made_at=stored.NOW, afterwards=afterwards,
    )  # fmt: skip


def told(code: str, day: date, limited: bool, ordinal: int = 1) -> None:
    Session.objects.create(
        athlete=athlete(code), local_date=day, planned=False, ordinal=ordinal, skin_limited=limited
    )  # fmt: skip


def page(who: Account, code: str = "past") -> tuple[int, str]:
    client = Client()
    client.force_login(who)
    answer = client.get(f"/events/{code}/review")
    return answer.status_code, answer.content.decode()


def test_of_each_horizon_the_last_forecast_made_by_then_and_none_computed_afterwards(coach: Account) -> None:
    for days, p in ((20, 0.2), (16, 0.3), (9, 0.5), (7, 0.6), (6, 0.7), (2, 0.8)):
        kept("a0", days, p)
    kept("a1", 7, 0.9, afterwards=True)
    rows = {row.code: row for row in review(viewer(coach), "past").rows}
    assert {n: (one.days, one.p) for n, one in rows["a0"].said.items()} == {14: (16, 0.3), 7: (7, 0.6), 1: (2, 0.8)}
    assert not rows["a1"].said and not rows["a2"].said


def test_one_day_on_which_skin_limited_makes_the_event_one_and_other_days_do_not_count(coach: Account) -> None:
    told("a0", FIRST, False)
    told("a0", LAST, True)
    told("a1", FIRST, False)
    told("a1", FIRST - timedelta(days=1), True)
    told("a1", LAST + timedelta(days=1), True)
    rows = {row.code: row.came.limited for row in review(viewer(coach), "past").rows}
    assert rows == {"a0": True, "a1": False, "a2": None, "little": None}
    assert "Skin was the limit for 1 of 2 who told." in page(coach)[1]


def test_damage_counts_up_to_two_days_after(coach: Account) -> None:
    for n, day in enumerate((FIRST - timedelta(days=1), FIRST, LAST + timedelta(days=2), LAST + timedelta(days=3))):
        Damage.objects.create(athlete=athlete("a0"), code=f"d{n}", site="L-ring-tip", kind="split", noticed_on=day)
    row = next(row for row in review(viewer(coach), "past").rows if row.code == "a0")
    assert row.came.damage is not None
    assert [day for _, _, day in row.came.damage] == [FIRST, LAST + timedelta(days=2)]


def test_a_last_day_gone_by_is_named_and_counted(coach: Account) -> None:
    """A hard session on sharp rock two days before lies after the last rough session of any rulebook."""
    for code in ("a0", "a1"):
        Session.objects.create(
            athlete=athlete(code), local_date=FIRST - timedelta(days=2), planned=False, ordinal=1, minutes=120, rpe=8,
            surface="sharp rock",
        )  # fmt: skip
    html = page(coach)[1]
    assert "Last rough session was missed by 2 athletes." in html


def test_what_is_not_shared_is_not_told(coach: Account) -> None:
    for code in ("little", "nothing"):
        told(code, FIRST, True)
        Damage.objects.create(athlete=athlete(code), code=code, site="L-ring-tip", kind="split", noticed_on=FIRST)
        kept(code, 7, 0.6)
    rows = {row.code: row for row in review(viewer(coach), "past").rows}
    assert set(rows) == {"a0", "a1", "a2", "little"}
    row = rows["little"]
    assert (row.came.limited, row.came.damage, row.missed) == (None, None, ()) and row.said[7].p == 0.6
    assert page(coach)[1].count("not shared with you") == 2


def test_an_event_to_come_and_a_foreign_one_are_none(coach: Account) -> None:
    soon = {"first_day": stored.TODAY + timedelta(days=1), "last_day": stored.TODAY + timedelta(days=2)}
    Event.objects.filter(code="past").update(**soon)
    other = stored.login("head-coach", stored.squad("other"))
    answers = [page(coach), page(coach, "nowhere"), page(other)]
    assert [status for status, _ in answers] == [404, 404, 404]
