"""What hangs on an assumption is counted by computing the answers again, of those alone who share them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest
import time_machine
from django.test import Client

from athletes.records.models import Account, Athlete, CheckIn, Entry, Session
from coaching.ledger.models import AssumptionFlip
from coaching.science import versions
from coaching.science.model import Model
from coaching.usecases import conclude, weigh_assumptions
from coaching.usecases.not_known import not_known
from coaching.usecases.sign_in import viewer
from coaching.usecases.weigh_assumptions import weigh_due
from tests import stored

pytestmark = pytest.mark.django_db
PAGE = "/not-known"
DAY = stored.TODAY
WEIGHED = ("reserve_rested_pt", "report_tail_df")


@pytest.fixture
def coach(monkeypatch: pytest.MonkeyPatch) -> Iterator[Account]:
    some = tuple(q for q in weigh_assumptions.assumptions() if q.name in WEIGHED)
    assert len(some) == len(WEIGHED)
    monkeypatch.setattr(weigh_assumptions, "assumptions", lambda: some)
    monkeypatch.setattr("coaching.usecases.not_known.assumptions", lambda: some)
    with time_machine.travel(stored.NOW, tick=False):
        squad = stored.squad()
        rows = stored.athletes([f"a{n}" for n in range(4)], squad)
        stored.share(rows[:3])  # the fourth shares nothing
        cup = stored.event()
        for n, row in enumerate(rows):
            Entry.objects.create(event=cup, athlete=row)
            answered(row, 2 * n + 2)
        yield stored.login("head-coach", squad)


def answered(athlete: Athlete, reserve: int) -> None:
    days = [DAY - timedelta(days=n) for n in range(30)]
    CheckIn.objects.bulk_create(
        [CheckIn(athlete=athlete, local_date=day, reserve=reserve, dampness=4, rating_step=2) for day in days]
    )
    Session.objects.bulk_create(
        [
            Session(athlete=athlete, local_date=day, planned=False, ordinal=1, minutes=120, rpe=7, surface="plastic")
            for day in days[::2]
        ]
    )


def client(who: Account) -> Client:
    found = Client()
    found.force_login(who)
    return found


def levels() -> dict[tuple[int, str], str]:
    """The answers of those who share their level, by the way that stores conclusions."""
    shared = list(Athlete.objects.filter(code__in=["a0", "a1", "a2"]).values_list("id", flat=True))
    found = {}
    for key, one in conclude.concluded(shared, DAY).items():
        found[key, ""] = one.conclusion.today.may_climb
        found |= {(key, entry.event_id): entry.level for entry in one.conclusion.entries}
    return found


def test_nothing_is_weighed_before_somebody_asks(coach: Account) -> None:
    assert weigh_due() == 0 and not AssumptionFlip.objects.exists()
    assert "Weigh the assumptions for today" in client(coach).get(PAGE).content.decode()


def test_the_counts_are_those_of_computing_all_again(coach: Account, monkeypatch: pytest.MonkeyPatch) -> None:
    client(coach).post(PAGE, {"squad": "hall"})
    assert weigh_due() == len(WEIGHED) and weigh_due() == 0
    (squad,) = not_known(viewer(coach)).squads
    assert (squad.left, squad.answers) == (0, 6)  # three athletes, each one entry and today's verdict
    base, shipped = levels(), versions.get(versions.CURRENT)
    for one in squad.weighed:
        for end, flips in ((one.quantity.low, one.low_flips), (one.quantity.high, one.high_flips)):
            moved = Model(shipped.version, shipped.parameters.changed(**{one.quantity.name: end}))
            with monkeypatch.context() as patch:
                patch.setattr(versions, "get", lambda _id, moved=moved: moved)
                if flips is None:
                    with pytest.raises(ValueError, match="degrees of freedom"):
                        levels()
                    continue
                other = levels()
            assert flips == sum(base[key] != other[key] for key in base), (one.quantity.name, end)
    by_name = {one.quantity.name: one for one in squad.weighed}
    assert by_name["reserve_rested_pt"].most > 0
    assert by_name["report_tail_df"].low_flips is None  # its lowest value has no spread to give
    assert [one.most for one in squad.weighed] == sorted((one.most for one in squad.weighed), reverse=True)


def test_a_run_that_ends_early_loses_nothing(coach: Account, monkeypatch: pytest.MonkeyPatch) -> None:
    client(coach).post(PAGE, {"squad": "hall"})
    plain = weigh_assumptions._changed
    calls: list[str] = []

    def stops(squad: object, base: object, name: str, end: float) -> int | None:
        calls.append(name)
        if len(calls) == 3:
            raise KeyError(name)
        return plain(squad, base, name, end)  # type: ignore[arg-type]

    monkeypatch.setattr(weigh_assumptions, "_changed", stops)
    weigh_due()
    assert AssumptionFlip.objects.exclude(name="").count() == 1
    assert "still being weighed" in client(coach).get(PAGE).content.decode()
    monkeypatch.setattr(weigh_assumptions, "_changed", plain)
    assert weigh_due() == len(WEIGHED) - 1


def test_asked_twice_it_is_one_question_and_yesterdays_goes(coach: Account) -> None:
    for _ in range(2):
        client(coach).post(PAGE, {"squad": "hall"})
    assert AssumptionFlip.objects.count() == 1
    with time_machine.travel(stored.NOW + timedelta(days=1), tick=False):
        client(coach).post(PAGE, {"squad": "hall"})
    assert AssumptionFlip.objects.get().as_of == DAY + timedelta(days=1)


def test_a_foreign_squad_is_no_squad(coach: Account) -> None:
    stored.squad("other")
    answers = [client(coach).post(PAGE, {"squad": code}) for code in ("other", "nowhere", "")]
    assert [answer.status_code for answer in answers] == [404, 404, 404]
    assert len({answer.content for answer in answers}) == 1 and not AssumptionFlip.objects.exists()
