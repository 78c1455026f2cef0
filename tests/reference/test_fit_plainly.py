"""The steps of squad learning, each against its own definition written out; small squads, so that it takes no time."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from coaching.science import fitting, skin
from coaching.science.answering import chance_of_answer
from coaching.science.fitting import HORIZONS_D, LIMITS, Forecast
from coaching.science.inputs import Course
from coaching.science.quantities import QUANTITIES
from coaching.science.reported import LEVELS, reported
from coaching.science.versions import CURRENT, get
from tests.courses import calm, told, unhurt

P = get(CURRENT).parameters
DAYS, ORIGIN = 100, 90
FROM = [48, 62, 76]
"""A fortnight and more before the origin, a fortnight apart, six weeks of history each."""


@cache
def squad(athletes: int = 40) -> Course:
    rng = np.random.default_rng(31)
    air = 10 + 15 * rng.random((athletes, DAYS))
    return replace(told(rng, athletes, DAYS, ORIGIN), temp_c=air, rh_pct=30 + 40 * rng.random((athletes, DAYS)))


@cache
def forecasts() -> list[Forecast]:
    return [fitting._forecast(squad(), unhurt(), P, at) for at in FROM]


def answered() -> list[tuple[Forecast, int, int]]:
    """Each answer that came a week or two after a forecast."""
    return [(one, *where) for one in forecasts() for where in np.argwhere(~np.isnan(one.limited)).tolist()]


def test_evenings_to_forecast_from() -> None:
    assert fitting._origins(squad()) == FROM
    assert fitting._origins(calm(2, 60, 55)) == [] and fitting._origins(calm(2, 60, 56)) == [42]
    assert fitting._origins(calm(1, 400, 300)) == [230, 244, 258, 272, 286]


def test_a_forecast_knows_neither_later_facts_nor_the_air_to_come() -> None:
    course, at = squad(), FROM[1]
    later = np.arange(DAYS) > at
    blank = {n: np.where(later, np.nan, getattr(course, n)) for n in
             ("reserve_pt", "dampness_pt", "hardness_pt", "limited", "load_done_slu", "temp_c", "rh_pct")}  # fmt: skip
    then = replace(course, **blank, origin=at, dose_done=np.where(later[None, :, None], np.nan, course.dose_done))
    one, state = forecasts()[1], skin.follow(then, P)
    days = [at + 7, at + 14]
    assert np.array_equal(one.panel.reserve_pt, state.panel(P).reserve_pt[:, days])
    assert np.array_equal(one.panel.dampness_pt, state.panel(P).dampness_pt[:, days])
    flipped = np.where(np.arange(DAYS) == at, 1.0 - course.limited, course.limited)
    assert not np.isnan(flipped[:, at]).all()
    said, other = (fitting._forecast(c, unhurt(), P, at).panel for c in (then, replace(course, limited=flipped)))
    for name in ("shift_logit", "reserve_shift_pt", "damp_shift_pt"):
        assert np.array_equal(getattr(said, name), getattr(one.panel, name)), name
        changed = (getattr(other, name) != getattr(one.panel, name)).any(axis=0)
        assert np.array_equal(changed, ~np.isnan(course.limited[:, at])), name  # the evening's own answers count
    for name in ("limited", "reserve_pt", "dampness_pt"):
        assert np.array_equal(getattr(one, name), getattr(course, name)[:, days], equal_nan=True)


def test_score_is_the_mean_negative_log_of_what_was_said_of_the_answers_that_came() -> None:
    said = []
    for one, row, column in answered():
        fine = chance_of_answer(one.panel, P)[row, column]
        said.append(-np.log(1 - fine if one.limited[row, column] == 1 else fine))
    assert len(said) > 40 and fitting._answers(forecasts()) == len(said)
    assert fitting._score(forecasts(), P) == pytest.approx(np.mean(said), rel=1e-12)


def test_limits_are_the_likeliest_under_their_prior() -> None:
    """No step of a tenth of a point in any limit lowers the score with its pull to the register by more than 1e-4."""
    found = fitting._limits(forecasts(), P)

    def loss(p) -> float:  # noqa: ANN001
        away = [(p[name] - QUANTITIES[name].default) ** 2 for name in LIMITS]  # sd of a point
        return fitting._score(forecasts(), p) + 0.5 * sum(away) / fitting._answers(forecasts())

    best = loss(found)
    assert best < loss(P)
    for name in LIMITS:
        for step in (-0.1, 0.1):
            assert loss(found.changed(**{name: found[name] + step})) > best - 1e-4
    for name in LIMITS:
        assert QUANTITIES[name].low <= found[name] <= QUANTITIES[name].high


def held_by_hand(column: int, factor: float) -> float:
    held = []
    for one in forecasts():
        names = ("reserve_known_var", "reserve_noise_var", "dampness_known_var", "dampness_noise_var")
        panel = one.panel.with_means(**{name: factor * getattr(one.panel, name) for name in names})
        ranges = reported(panel, np.full(panel.reserve_pt.shape, 0.5), P)
        low, high = LEVELS.index(0.10), LEVELS.index(0.90)
        for told_pt, rating in ((ranges.reserve_pt, one.reserve_pt), (ranges.dampness_pt, one.dampness_pt)):
            for row in np.flatnonzero(~np.isnan(rating[:, column])):
                held.append(told_pt[low, row, column] <= rating[row, column] <= told_pt[high, row, column])
    return float(np.mean(held))


def test_ranges_are_widened_until_four_of_five_hold() -> None:
    for column in range(len(HORIZONS_D)):
        for factor in (0.4, 1.0, 2.5):
            share = fitting._held_share(forecasts(), column, factor, P)
            assert share == pytest.approx(held_by_hand(column, factor), abs=1e-12)
    found = fitting._widened(forecasts(), P)
    for column, days in enumerate(HORIZONS_D):
        name = f"inflation_{days}d"
        factor = found[name] / P[name]
        least, most = QUANTITIES[name].low / P[name], min(QUANTITIES[name].high, 3.0) / P[name]
        inside = least * 1.001 < factor < most / 1.001
        assert not inside or held_by_hand(column, factor * 1.002) >= 0.80 > held_by_hand(column, factor * 0.99)
        if held_by_hand(column, least) >= 0.80:
            assert factor == pytest.approx(max(least, 1.0 / P[name]), rel=1e-3)


def test_members_are_read_by_the_law_of_total_variance() -> None:
    """Dempster, Laird & Rubin 1977: the mean of what is believed of each, and its spread with that belief's own."""
    found, state = fitting._members(squad(), P, P), skin.follow(squad(), P)
    for name, track, which in (
        ("reserve_rested_pt", state.reserve, 1),
        ("reserve_wear_pt_per_slu", state.reserve, 2),
        ("dampness_usual_pt", state.dampness, 1),
    ):
        weight, means, own = np.exp(track.log_weight), track.belief.mean[which], track.belief.cov[which, which]
        middle = (weight * means).sum(axis=0)
        inner = (weight * (own + means**2)).sum(axis=0) - middle**2
        assert found[name] == pytest.approx(middle.mean(), rel=1e-9)
        spread = max(np.sqrt(inner.mean() + middle.var()), 0.5 * P.spread(name))
        if name == "reserve_wear_pt_per_slu":  # a share of its mean, as the filter reads it
            spread *= QUANTITIES[name].default / found[name]
        assert found.spread(name) == pytest.approx(spread, rel=1e-9)


def test_a_whole_fit_says_what_changed_and_scores_itself_before_and_after() -> None:
    course = squad(120)
    found = fitting.fit(course, unhurt(), P)
    before = [fitting._forecast(course, unhurt(), P, at) for at in FROM]
    assert found.answers == fitting._answers(before) >= fitting.LEAST_ANSWERS and not found.provisional
    assert found.before == pytest.approx(fitting._score(before, P), rel=1e-12)
    learned = found.applied(P)
    after = [fitting._forecast(course, unhurt(), learned, at) for at in FROM]
    assert found.after == pytest.approx(fitting._score(after, learned), rel=1e-12) and found.after < found.before
    assert all(value != P[name] for name, value in found.values.items())
    assert {"inflation_7d", "inflation_14d", *LIMITS} & set(found.values)
    assert set(found.spreads) == {"reserve_rested_pt", "reserve_wear_pt_per_slu", "dampness_usual_pt"}
