"""The bar that a squad sets itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.db import OperationalError

from athletes.records import histories
from athletes.records.models import Athlete, Squad
from coaching.ledger import store
from coaching.ledger.models import SquadBar
from coaching.rules.facts import AthleteFacts, EpisodeFact, LookFact
from coaching.science import versions
from coaching.usecases import squad_bar
from coaching.usecases.squad_bar import LEAST_DAYS, NO_SQUAD, PROVISIONAL, Bar, asked, bars, from_days
from tests import bundles
from tests.bundles import ATHLETE, CHECKIN, LOOK, SPLIT

TODAY = date(2027, 3, 11)
EVE = TODAY - timedelta(days=1)
MODEL = versions.CURRENT


def bars_for(athlete_ids: Sequence[int], as_of: date, model_id: str) -> dict[int, Bar]:
    return bars(asked(athlete_ids, as_of), athlete_ids, versions.get(model_id))


def answers(code: str, days: int, until: date = EVE) -> bundles.Rows:
    dates = [until - timedelta(days=n) for n in range(days)]
    return [CHECKIN | {"athlete_id": code, "local_date": day.isoformat()} for day in dates]


def members(*codes: str, squad: str = "s1") -> bundles.Rows:
    return [{"squad_id": squad, "name": "Squad", "athlete_id": code} for code in codes]


def squad(path: Path, days: int, *codes: str, **tables: Any) -> list[int]:
    """A squad whose members answered on each of the last days before today."""
    whole = {
        "athletes": [ATHLETE | {"athlete_id": code} for code in codes],
        "checkins": [row for code in codes for row in answers(code, days)],
        "squads": members(*codes),
    }
    bundles.load(path / "b", whole | tables)
    return list(Athlete.objects.order_by("code").values_list("id", flat=True))


@pytest.mark.parametrize(
    ("median", "bar"),
    [(0.2, 0.40), (0.424, 0.40), (0.426, 0.45), (0.6, 0.60), (0.674, 0.65), (0.676, 0.70), (0.99, 0.80)],
)
def test_the_median_to_the_nearest_5_within_40_to_80(median: float, bar: float) -> None:
    spread = [median - 0.1] * 20 + [median] + [median + 0.005] * 20
    assert from_days(spread) == Bar(bar, 41)


def test_half_is_provisional_before_30_athlete_days() -> None:
    assert from_days([0.9] * (LEAST_DAYS - 1)) == Bar(PROVISIONAL, 29) and Bar(PROVISIONAL, 29).provisional
    assert from_days([0.9] * LEAST_DAYS) == Bar(0.80, 30) and not Bar(0.80, 30).provisional
    assert NO_SQUAD.bar_frac == 0.5 and NO_SQUAD.provisional


def episode(noticed: date, *looks: tuple[date, str]) -> EpisodeFact:
    seen = tuple(LookFact(day, stage) for day, stage in looks)
    return EpisodeFact("d1", "R-middle-tip", "split", noticed, looks=seen)


def test_a_day_with_something_open_is_one_from_notice_until_seen_sound() -> None:
    facts = AthleteFacts("a1", 20, "UTC")
    sound = episode(
        EVE - timedelta(days=9), (EVE - timedelta(days=5), "closing"), (EVE - timedelta(days=2), "sound")
    )
    whole = squad_bar._nothing_open(replace(facts, episodes=(sound,)), EVE)
    assert len(whole) == 60 and whole == [True] * 50 + [False] * 7 + [True] * 3
    never = squad_bar._nothing_open(replace(facts, episodes=(episode(EVE),)), EVE)
    assert never == [True] * 59 + [False]


@pytest.mark.django_db
class TestOfARealSquad:
    def test_days_are_those_answered_within_60(self, tmp_path: Path) -> None:
        ids = squad(tmp_path, 70, "a1", "a2")
        assert bars_for(ids, TODAY, MODEL)[ids[0]].athlete_days == 2 * 60

    def test_days_with_something_open_are_left_out(self, tmp_path: Path) -> None:
        looks = [LOOK | {"stage": "sound", "local_date": "2027-03-09"}]
        ids = squad(
            tmp_path, 20, "a1", "a2", damage=[SPLIT | {"noticed_on": "2027-03-05"}], damage_looks=looks
        )
        assert bars_for(ids, TODAY, MODEL)[ids[1]].athlete_days == 2 * 20 - 4  # the 5th to the 8th of a1

    def test_today_does_not_count_yet(self, tmp_path: Path) -> None:
        ids = squad(tmp_path, 20, "a1", "a2", checkins=answers("a1", 21, TODAY) + answers("a2", 21, TODAY))
        assert bars_for(ids, TODAY, MODEL)[ids[0]].athlete_days == 2 * 20

    def test_it_stands_all_day_whoever_checks_in(self, tmp_path: Path) -> None:
        ids = squad(tmp_path, 14, "a1", "a2")
        first = bars_for(ids[:1], TODAY, MODEL)[ids[0]]
        late = answers("a2", 1, TODAY) + answers("a2", 14, EVE - timedelta(days=14))
        bundles.load(tmp_path / "late", {"athletes": [ATHLETE | {"athlete_id": "a2"}], "checkins": late})
        assert bars_for(ids, TODAY, MODEL) == dict.fromkeys(ids, first) and first.provisional
        tomorrow = bars_for(ids, TODAY + timedelta(days=1), MODEL)[ids[0]]
        assert tomorrow.athlete_days == 28 + 15 and not tomorrow.provisional
        assert SquadBar.objects.count() == 2

    def test_whoever_asks_first_makes_the_same_bar(self, tmp_path: Path) -> None:
        ids = squad(tmp_path, 20, "a1", "a2", "a3")
        found = []
        for asking in ([ids[0]], [ids[2], ids[0]], ids):
            found.append(bars_for(asking, TODAY, MODEL)[ids[0]])
            SquadBar.objects.all().delete()
        assert found[0] == found[1] == found[2] and found[0].athlete_days == 60

    def test_a_kept_bar_costs_two_queries_whatever_the_squad(
        self, tmp_path: Path, django_assert_num_queries: Any
    ) -> None:
        ids = squad(tmp_path, 2, "a1", "a2", "a3")
        bars_for(ids, TODAY, MODEL)
        for asking in (ids[:1], ids):
            with django_assert_num_queries(2):
                bars_for(asking, TODAY, MODEL)

    def test_of_two_at_once_both_go_by_the_bar_that_was_kept(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        ids = squad(tmp_path, 20, "a1", "a2")
        real = squad_bar._compute

        def overtaken(*asked: Any) -> Bar:
            store.save_bar(Squad.objects.get().id, TODAY, 0.75, 31)
            return real(*asked)

        monkeypatch.setattr(squad_bar, "_compute", overtaken)
        assert bars_for(ids, TODAY, MODEL)[ids[0]] == Bar(0.75, 31)

    def test_without_a_squad_or_anybody_answering_it_is_provisional(self, tmp_path: Path) -> None:
        ids = squad(tmp_path, 30, "a1", "a2", squads=members("a1"), checkins=answers("a2", 30))
        assert bars_for(ids, TODAY, MODEL) == {ids[0]: Bar(PROVISIONAL, 0), ids[1]: NO_SQUAD}

    def test_one_who_cannot_be_computed_does_not_take_the_bar_from_all(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        ids = squad(tmp_path, 20, "a1", "a2", "a3")
        poison(monkeypatch, {ids[1]}, ZeroDivisionError)
        assert bars_for(ids, TODAY, MODEL)[ids[0]].athlete_days == 40

    def test_where_nobody_can_be_computed_no_bar_is_kept(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        ids = squad(tmp_path, 20, "a1", "a2", "a3")
        poison(monkeypatch, set(ids), ZeroDivisionError)
        with pytest.raises(squad_bar._NotOne, match="ZeroDivisionError"):
            bars_for(ids, TODAY, MODEL)
        assert not SquadBar.objects.exists()

    def test_a_database_that_is_away_makes_no_bar_of_the_others(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        ids = squad(tmp_path, 20, "a1", "a2", "a3")
        poison(monkeypatch, {ids[0]}, OperationalError)
        with pytest.raises(OperationalError):
            bars_for(ids, TODAY, MODEL)
        assert not SquadBar.objects.exists()


def poison(monkeypatch: pytest.MonkeyPatch, bad: set[int], error: type[Exception]) -> None:
    real = histories.facts

    def failing(ids: Any, as_of: date, **known: Any) -> Any:
        if bad & set(ids):
            raise error
        return real(ids, as_of, **known)

    monkeypatch.setattr(histories, "facts", failing)
