"""What is shown is kept once a day, is scored when its day has come, and goes with the athlete."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from django.db import IntegrityError

from athletes.records import access
from athletes.records.erasing import erase_rows
from athletes.records.models import Athlete, CheckIn, Damage, Look, Session
from coaching.ledger import kept
from coaching.ledger.kept import KeptRow
from coaching.ledger.models import KeptForecast
from coaching.rules.conclusions import AthleteConclusion, EntryConclusion, Today
from coaching.science.reported import LEVELS
from coaching.usecases import keeping
from coaching.usecases.ahead import DayAhead
from coaching.usecases.were_we_right import were_we_right
from tests import cast, stored
from tests.stored import NOW, TODAY

TOLD = (tuple(float(n) for n in range(2, 2 + len(LEVELS))), tuple(float(n) for n in range(1, 1 + len(LEVELS))))
AHEAD = DayAhead(0.8, 0.7, 0.9, 0.85, *TOLD)
WEEK = timedelta(days=7)


def forecast(athlete: Athlete, made: int, p: float = 0.8, horizon: int = 7, **other: Any) -> KeptRow:
    """Made so many days before today."""
    day = TODAY - timedelta(days=made)
    target = day + timedelta(days=horizon)
    row = KeptRow(athlete.pk, day, target, target, "m", p, round(p - 0.1, 4), round(min(p + 0.1, 1.0), 4), p, TOLD)
    return replace(row, **other)


def shown(level: str, medical: str = "none") -> AthleteConclusion:
    entry = EntryConclusion("e1", level, 0.7, 0.6, 0.8, 0.5, True, None, (), (), ())
    return AthleteConclusion("a1", medical, TODAY, Today("free"), (), (), (), (entry,))


@pytest.fixture
def squad(db: None) -> list[Athlete]:
    rows = stored.athletes(["a1", "a2", "a3", "a4"], stored.squad())
    stored.share(rows)
    return rows


def answer(athlete: Athlete, days_ago: int, limited: bool | None) -> None:
    day = TODAY - timedelta(days=days_ago)
    Session.objects.create(athlete=athlete, local_date=day, planned=False, skin_limited=limited)


def coach() -> access.Viewer:
    from athletes.records.models import Squad

    return access.viewer_for(stored.login("head-coach", Squad.objects.get()), TODAY)


def test_a_later_conclusion_of_the_day_replaces_and_one_made_afterwards_never(squad: list[Athlete]) -> None:
    kept.keep([forecast(squad[0], 0, 0.8)], NOW)
    kept.keep([forecast(squad[0], 0, 0.6)], NOW)
    kept.keep([forecast(squad[0], 0, 0.1), forecast(squad[1], 9, 0.2)], NOW, afterwards=True)
    found = KeptForecast.objects.order_by("athlete_id").values_list("p", "afterwards")
    assert list(found) == [(0.6, False), (0.2, True)]


def test_another_day_is_another_row_and_the_earlier_one_stands(squad: list[Athlete]) -> None:
    kept.keep([forecast(squad[0], 1, 0.8, horizon=8)], NOW)
    kept.keep([forecast(squad[0], 0, 0.5, horizon=7)], NOW)
    assert sorted(KeptForecast.objects.values_list("p", flat=True)) == [0.5, 0.8]


def test_what_was_kept_reads_back(squad: list[Athlete]) -> None:
    row = forecast(squad[0], 0, event_id=4, until_day=TODAY + WEEK + WEEK)
    kept.keep([row], NOW)
    assert kept.kept_of([squad[0].pk], TODAY) == [row]
    assert kept.kept_of([squad[0].pk], TODAY + 2 * WEEK) == []


def test_an_athlete_who_goes_takes_the_forecasts_along(squad: list[Athlete]) -> None:
    kept.keep([forecast(squad[0], 0), forecast(squad[1], 0)], NOW)
    erase_rows(squad[0].pk)
    assert list(KeptForecast.objects.values_list("athlete_id", flat=True)) == [squad[1].pk]


@pytest.mark.parametrize("fault", [{"p": 1.2}, {"target_day": TODAY - WEEK - WEEK}])
def test_no_forecast_of_the_past_and_no_chance_outside_nil_to_one(squad: list[Athlete], fault: Any) -> None:
    with pytest.raises(IntegrityError):
        kept.keep([replace(forecast(squad[0], 0), **fault)], NOW)


def test_weeks_ahead_and_events_are_kept_with_what_was_shown() -> None:
    facts = cast.athlete(TODAY, entries=(cast.entry(TODAY + timedelta(days=3), TODAY + timedelta(days=4)),))
    ahead = {3: AHEAD, 7: AHEAD, 14: AHEAD}
    found = keeping.forecasts(5, facts, shown("tight"), ahead, (TODAY, "m", {"e1": 9}))
    assert [(row.horizon_days, row.event_id, row.p) for row in found] == [(7, 0, 0.8), (14, 0, 0.8), (3, 9, 0.7)]
    assert found[2].until_day == TODAY + timedelta(days=4)


def test_what_is_not_shown_is_not_kept() -> None:
    facts = cast.athlete(TODAY, entries=(cast.entry(TODAY + timedelta(days=3)),))
    at = (TODAY, "m", {"e1": 9})
    assert keeping.forecasts(5, facts, shown("tight", medical="today"), {3: AHEAD, 7: AHEAD}, at) == ()
    found = keeping.forecasts(5, facts, shown("not-known"), {3: AHEAD, 7: AHEAD}, at)
    assert [row.event_id for row in found] == [0]


def test_answers_score_forecasts_and_each_gap_has_its_reason(squad: list[Athlete]) -> None:
    one, two, three, four = squad
    kept.keep([forecast(a, 10) for a in squad] + [forecast(one, 3)], NOW)
    answer(one, 3, False)
    answer(two, 3, None)
    damage = Damage.objects.create(athlete=three, code="d1", kind="split", site="L-ring-tip", noticed_on=TODAY - WEEK)
    Look.objects.create(damage=damage, local_date=TODAY - timedelta(days=3), stage="open")
    found = were_we_right(coach())
    assert (found.kept, found.scored) == (5, 1)
    assert found.unscored == {
        "to-come": 1, "no-session": 1, "not-answered": 1, "damage-seen": 1, "not-shared": 0,
    }  # fmt: skip
    assert found.damage_seen_said == pytest.approx(0.8)
    assert [(one.tenths, one.count, one.held_frac, one.few) for one in found.bins] == [(8, 1, 1.0, True)]


def test_one_limited_session_of_a_day_or_of_an_event_is_enough(squad: list[Athlete]) -> None:
    day = TODAY - timedelta(days=3)
    kept.keep([forecast(squad[0], 10), forecast(squad[0], 10, event_id=7, until_day=day + timedelta(days=1))], NOW)
    answer(squad[0], 3, False)
    answer(squad[0], 3, True)
    answer(squad[0], 2, False)
    found = were_we_right(coach())
    assert found.bins[0].held_frac == 0.0 and found.scored == 2


def test_answers_of_those_who_share_only_their_level_are_never_counted(squad: list[Athlete]) -> None:
    kept.keep([forecast(a, 10) for a in squad], NOW)
    for one in squad:
        answer(one, 3, False)
    stored.withdraw(athlete=squad[0], data_class="checkins")
    stored.withdraw(athlete=squad[1], data_class="level")
    found = were_we_right(coach())
    assert (found.athletes, found.answering, found.kept, found.scored) == (3, 2, 3, 2)
    assert found.unscored["not-shared"] == 1


def test_a_stranger_finds_no_page(squad: list[Athlete]) -> None:
    with pytest.raises(access.NotFound):
        were_we_right(access.viewer_for(stored.login("athlete", None, squad[:1]), TODAY))


def test_rivals_know_nothing_of_the_days_after_their_evening(squad: list[Athlete]) -> None:
    """Other answers and ratings after the evening of a forecast leave what a rival said of it as it was."""
    from coaching.usecases.right_arrays import rivals
    from tests.rival_days import past_and_future

    for name, (before, after) in past_and_future(rivals).items():
        assert before == pytest.approx(after, abs=0, nan_ok=True), name


def test_ratings_are_held_against_their_ranges(squad: list[Athlete]) -> None:
    rows = []
    for made in range(10, 40):
        rows.append(forecast(squad[0], made))
        CheckIn.objects.create(
            athlete=squad[0], local_date=TODAY - timedelta(days=made - 7), reserve=5, dampness=0 if made % 2 else 4
        )
    kept.keep(rows, NOW)
    reserve, _, dampness, _ = were_we_right(coach()).ratings
    assert (reserve.count, reserve.covered_80, dampness.covered_80) == (30, 1.0, 0.5)
    assert sum(reserve.quarters) == pytest.approx(1.0) and sum(dampness.quarters[2:]) <= 0.5
