"""The page of how a number was made, and the weekly fit it tells of."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
import time_machine
from django.test import Client

from athletes.records import access
from athletes.records.models import Athlete, CheckIn, Session, Squad, Trial, TrialEnd
from coaching.ledger.models import SquadFit, Staleness
from coaching.science import versions
from coaching.science.fitting import LEAST_ANSWERS
from coaching.science.making import NOT_KNOWABLE
from coaching.science.quantities import QUANTITIES
from coaching.usecases import conclude, learned, weekly_fit
from coaching.usecases.how_made import how_made
from coaching.usecases.load_table import load_table
from coaching.usecases.shown import LoadDay, PictureShown
from coaching.wording import load_words, quantities
from coaching.wording.made import input_row
from tests import shown_cast, stored
from tests.stored import NOW, TODAY


@pytest.fixture
def squad(db: None) -> list[Athlete]:
    rows = stored.athletes(["a1", "a2"], stored.squad())
    stored.share(rows)
    stored.conclude(rows, stored.event(), shown_cast.athlete(model=versions.CURRENT))
    for one in rows:
        for n in range(1, 15):
            CheckIn.objects.create(athlete=one, local_date=TODAY - timedelta(days=n), reserve=6, dampness=5)
            common = {"athlete": one, "minutes": 90, "rpe": 6, "surface": "plastic"}
            Session.objects.create(
                local_date=TODAY - timedelta(days=n), planned=False, skin_limited=n % 3 == 0, **common
            )
            if n < 9:
                Session.objects.create(local_date=TODAY + timedelta(days=n), planned=True, **common)
    return rows


def coach() -> access.Viewer:
    return access.viewer_for(stored.login("head-coach", Squad.objects.get()), TODAY)


def test_every_quantity_and_everything_unknowable_has_words() -> None:
    assert set(quantities.NAMES) == set(QUANTITIES)
    assert {row.unit for row in QUANTITIES.values()} <= set(quantities.UNITS)
    assert {row.status for row in QUANTITIES.values()} <= set(quantities.STATUSES)
    assert tuple(quantities.NOT_KNOWABLE) == NOT_KNOWABLE


def test_what_went_in_is_counted_and_what_helps_is_ranked(squad: list[Athlete]) -> None:
    found = how_made(coach(), "a1")
    counts = {one.code: one.count for one in found.inputs}
    assert (counts["checkins"], counts["answers"], counts["planned"], counts["air"]) == (14, 14, 8, 0)
    assert [one.rank for one in found.helped] == list(range(1, len(found.helped) + 1))
    assert {"half-load", "rest-last-days"} <= {one.option for one in found.helped}
    assert all(one.low <= one.high for one in found.helped)
    assert len(found.quantities) == len(QUANTITIES) and found.fitted_on is None


def test_a_form_that_the_rules_refuse_is_not_among_what_helps(squad: list[Athlete]) -> None:
    Athlete.objects.filter(code="a1").update(sensitivities=["methenamine"])
    assert "agent-on" not in {one.option for one in how_made(coach(), "a1").helped}


def trial(athlete: Athlete, form: str, verb: str, evidence: dict[str, Any] | None) -> date:
    """A trial of theirs, one hand against the other, in which the form did not work; the day it was read."""
    first = TODAY - timedelta(days=90)
    row = Trial.objects.create(
        athlete=athlete, verb=verb, form=form, outcome="dampness", lower_is_better=True, hands=True, hidden=False,
        pairs=6, skip_days=9, read_days=5, first_day=first, last_day=first + timedelta(days=83),
        starts=list(range(0, 84, 14)), seed=3, pair_sd=1.0, model="2026.6", made_at=stored.NOW,
    )  # fmt: skip
    end = TrialEnd.objects.create(
        athlete=athlete, trial=row, local_date=first + timedelta(days=84), why="over", drawn="CUCUCU",
        verdict="does-not", result={"evidence": evidence}, made_at=stored.NOW,
    )  # fmt: skip
    return end.local_date


def test_a_trial_is_counted_and_what_did_nothing_is_not_among_what_helps(squad: list[Athlete]) -> None:
    CheckIn.objects.filter(athlete=squad[0]).update(dampness=1, reserve=9)
    before = how_made(coach(), "a1")
    assert "trials" not in {one.code for one in before.inputs} and "soften" in {one.option for one in before.helped}
    told = {"rule": "hands-1", "ingredient": "methenamine", "effect_pt": 0.2, "sd_pt": 0.6}
    read = trial(squad[0], "methenamine spray", "dry", told)
    trial(squad[0], "humectant cream", "soften", None)
    found = how_made(coach(), "a1")
    assert [(one.count, one.newest) for one in found.inputs if one.code == "trials"] == [(1, read)]
    assert "soften" not in {one.option for one in found.helped}
    assert input_row(found.inputs[-1], found.as_of)[0].startswith("results of their own trials")


def test_nothing_of_check_ins_that_are_not_shared(squad: list[Athlete]) -> None:
    stored.withdraw(athlete=squad[0], data_class="checkins")
    found = how_made(coach(), "a1")
    assert not found.shared and (found.inputs, found.helped, found.quantities) == ((), (), ())


def test_damage_is_counted_only_where_it_is_shared(squad: list[Athlete]) -> None:
    stored.withdraw(athlete=squad[0], data_class="damage")
    assert "damage" not in {one.code for one in how_made(coach(), "a1").inputs}


def test_the_page_is_one_tap_from_the_athlete(squad: list[Athlete]) -> None:
    client = Client()
    with time_machine.travel(NOW, tick=False):
        client.force_login(stored.login("head-coach", Squad.objects.get()))
        assert 'href="/athletes/a1/made"' in client.get("/athletes/a1").content.decode()
        html = client.get("/athletes/a1/made").content.decode()
        assert "What would help most" in html and "assumption" in html and "How thick the skin is" in html
        assert client.get("/athletes/nobody/made").status_code == 404


def learned_fit(rows: list[Athlete], on: date, **values: float) -> None:
    SquadFit.objects.create(
        squad_id=Squad.objects.get().pk, model=versions.CURRENT, fitted_on=on, values=values, spreads={},
        athletes=len(rows), answers=200,
    )  # fmt: skip


def test_conclusions_go_by_the_newest_fit_of_their_version(squad: list[Athlete]) -> None:
    ids = [one.pk for one in squad]
    before = conclude.concluded(ids, TODAY)
    learned_fit(squad, TODAY - timedelta(days=9), enough_reserve_pt=9.0)
    harsh = conclude.concluded(ids, TODAY)
    learned_fit(squad, TODAY - timedelta(days=2), enough_reserve_pt=1.0)
    mild = conclude.concluded(ids, TODAY)
    event = next(iter(before[ids[0]].numbers.entries))
    p = [found[ids[0]].numbers.entries[event].p for found in (harsh, before, mild)]
    assert p == sorted(p) and p[0] < p[2] - 0.1
    assert how_made(coach(), "a1").fitted_on == TODAY - timedelta(days=2)


def test_squads_with_other_fits_do_not_change_each_other(squad: list[Athlete]) -> None:
    other = stored.athletes(["b1"], stored.squad("other"))
    both = [*[one.pk for one in squad], other[0].pk]
    learned_fit(squad, TODAY, enough_reserve_pt=9.0) if Squad.objects.count() == 1 else SquadFit.objects.create(
        squad_id=Squad.objects.get(code="hall").pk, model=versions.CURRENT, fitted_on=TODAY,
        values={"enough_reserve_pt": 9.0}, spreads={}, athletes=2, answers=200,
    )  # fmt: skip
    together = conclude.concluded(both, TODAY)
    apart = {**conclude.concluded(both[:2], TODAY), **conclude.concluded(both[2:], TODAY)}
    assert together == apart


@pytest.mark.django_db
def test_a_week_has_one_fit_and_what_is_missing_is_taken_up_within_the_hour(
    squad: list[Athlete], monkeypatch: Any
) -> None:
    stored.athletes(["b1"], stored.squad("other"))
    stored.squad("empty")
    real, failing = weekly_fit._fit, [True]

    def breaks_once(squad_id: int, *rest: Any) -> Any:
        if failing and squad_id == Squad.objects.get(code="other").pk:
            failing.pop()
            raise ZeroDivisionError
        return real(squad_id, *rest)

    monkeypatch.setattr(weekly_fit, "_fit", breaks_once)
    with time_machine.travel(NOW, tick=False) as clock:
        assert weekly_fit.fit_due() == 1
        assert weekly_fit.fit_due() == 0  # the hour has had its run
        clock.shift(3600)
        assert weekly_fit.fit_due() == 1
        clock.shift(3600)
        assert weekly_fit.fit_due() == 0
        clock.shift(7 * 86_400)
        assert weekly_fit.fit_due() == 2
    assert SquadFit.objects.count() == 4
    row = SquadFit.objects.filter(squad_id=Squad.objects.get(code="hall").pk).first()
    assert row is not None and row.answers < LEAST_ANSWERS and not row.values and row.fitted_on <= TODAY


def test_a_provisional_fit_changes_nothing_and_is_said(squad: list[Athlete]) -> None:
    revisions = dict(Staleness.objects.values_list("athlete_id", "input_rev"))
    with time_machine.travel(NOW, tick=False):
        weekly_fit.fit_due()
    assert dict(Staleness.objects.values_list("athlete_id", "input_rev")) == revisions
    model = versions.get(versions.CURRENT)
    fit = learned.of_athletes([squad[0].pk], versions.CURRENT)[squad[0].pk]
    assert learned.applied(model, fit) is model
    assert how_made(coach(), "a1").provisional


def days(values: list[float | None]) -> PictureShown:
    first = TODAY - timedelta(days=len(values) - 1)
    loads = tuple(LoadDay(first + timedelta(days=n), value, None) for n, value in enumerate(values))
    return PictureShown(first_day=first, load=loads)


def test_the_table_of_load_by_hand() -> None:
    """Foster 1998: a week of 1, 0, 2, 0, 1, 0, 3 has mean 1 and sample sd sqrt(8/6); strain is 7 x mean / sd."""
    found = load_table(days([1.0] * 21 + [1.0, 0.0, 2.0, 0.0, 1.0, 0.0, 3.0]), TODAY)
    assert found is not None and found.unknown_days == 0
    assert found.strain_slu == pytest.approx(7.0 / np.sqrt(8.0 / 6.0))
    assert found.ratio == pytest.approx(1.0)
    assert found.short_slu is not None and found.long_slu == pytest.approx(1.0, abs=0.2)


def test_unknown_days_count_for_nothing_and_are_said() -> None:
    values: list[float | None] = [1.0] * 20 + [None] + [1.0] * 7
    found = load_table(days(values), TODAY)
    assert found is not None and (found.ratio, found.strain_slu, found.unknown_days) == (None, None, 1)
    said = dict(load_words.rows(found))
    assert (
        "28 days" in said["this week over the three weeks before"]
        and "do not differ" in said["load x monotony (Foster)"]
    )
    assert load_table(days([1.0] * 6), TODAY) is None


@pytest.mark.django_db
def test_a_process_asks_an_hour_after_its_start(squad: list[Athlete]) -> None:
    with time_machine.travel(NOW, tick=False) as clock:
        asked = weekly_fit.fit_hourly(None)
        assert weekly_fit.fit_hourly(asked) == asked and not SquadFit.objects.exists()
        clock.shift(3600)
        assert weekly_fit.fit_hourly(asked) > asked and SquadFit.objects.count() == 1
