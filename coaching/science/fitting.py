"""Squad learning: what a squad's own past says of the quantities that its members share.

Four parts, each cheap and each shrunk to the register: what members are like at rest (means and spreads over the
squad, one step of expectation-maximisation after another), where skin begins to limit (by the answers that came one and
two weeks after a forecast), by how much forecasts must be widened (so that four of five ranges hold), and how damage
heals (`fitting_healing`), which needs looks and no answers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from coaching.science import skin
from coaching.science.answering import chance_of_answer, taught
from coaching.science.filtering import Bank, ordered_sum
from coaching.science.fitting_healing import healing_fit
from coaching.science.fitting_ranges import Rated, ranges_that_score
from coaching.science.inputs import Course, Episodes, Floats
from coaching.science.load import resolved_load_slu
from coaching.science.own_ranges import SCALES, OwnRanges, asks, own_ranges
from coaching.science.panel import Panel
from coaching.science.quantities import QUANTITIES, Parameters
from coaching.science.readiness import usable_answers
from coaching.science.reported import LEVELS, reported

HORIZONS_D = (7, 14)
ORIGINS_APART_D = 14
ORIGINS = 5
LEAST_HISTORY_D = 42
LEAST_ANSWERS = 120
"""Fewer answers a week or two after a forecast tell a limit no closer than the register does (judgement)."""
PASSES = 2
LIMITS = ("enough_reserve_pt", "too_damp_pt", "too_dry_pt")
LIMIT_SD_PT = 1.0
"""How far a squad's limits may lie from the register's (assumption)."""
WIDEST = 3.0
RANGE_SHARE = 0.80
HALF_STEP_PT = 0.5
RANGES = tuple(f"{scale}_range_{days}d" for scale in SCALES for days in HORIZONS_D)


@dataclass(frozen=True)
class Forecast:
    """What was forecast on one evening for one and two weeks ahead, and what came; (N, horizons) each."""

    panel: Panel
    limited: Floats  # 1 skin limited, 0 it did not, NaN no answer
    reserve_pt: Floats  # ratings, NaN none
    dampness_pt: Floats
    own: OwnRanges | None = None  # how widely each athlete's ratings scatter, in versions that ask it


@dataclass(frozen=True)
class SquadFit:
    """What was learned: changed values and spreads by name; how the answers learned from scored before and after."""

    values: Mapping[str, float]
    spreads: Mapping[str, float]
    answers: int
    before: float  # mean negative log score of answers one and two weeks after a forecast
    after: float

    @property
    def provisional(self) -> bool:
        """Too little was answered and looked at: the register stands."""
        return not self.values

    def applied(self, p: Parameters) -> Parameters:
        """The parameters with what was learned."""
        return p.changed(**self.values).respread(**self.spreads)


def fit(course: Course, episodes: Episodes, p: Parameters) -> SquadFit:
    """Return what a squad's past says of its shared quantities.

    Parameters: course (at most some 300 athletes; its origin is the last day that may be read); episodes; p (to begin
        with, and to shrink to).
    Returns: SquadFit; without scores where answers are too few, provisional where looks are too few as well.
    Raises: ValueError where the origin is not a column of the course.
    Assumes: members are alike apart from what the register says differs; days without an answer are as the others;
        damage is taken as known today, not as it was known on each earlier evening.
    Source: expectation-maximisation, Dempster, Laird & Rubin 1977, for the means and spreads;
        Gneiting & Raftery 2007 for scoring; tests/reference/test_squad_fit.py.
    """
    usual_slu = resolved_load_slu(course, course.load_plan_slu, p)[0][:, : course.origin + 1].mean(axis=1)
    heals = healing_fit(episodes, course.origin, usual_slu, p)
    before = [_forecast(course, episodes, p, at) for at in _origins(course)]
    answers = _answers(before)
    if answers < LEAST_ANSWERS:
        return SquadFit(MappingProxyType(heals), MappingProxyType({}), answers, np.nan, np.nan)
    fitted = p
    for _ in range(PASSES):
        fitted = _members(course, fitted, p)
    forecasts = [_forecast(course, episodes, fitted, at) for at in _origins(course)]
    fitted = _limits(forecasts, fitted)
    fitted = _ranged(forecasts, fitted) if asks(p) else _widened(forecasts, fitted)
    after = [_forecast(course, episodes, fitted, at) for at in _origins(course)]
    changed = heals | {name: v for name, v in fitted.values.items() if v != p[name]}
    spreads = {name: v for name, v in fitted.spreads.items() if v != p.spread(name)}
    scores = (_score(before, p), _score(after, fitted))
    return SquadFit(MappingProxyType(changed), MappingProxyType(spreads), answers, *scores)


def _origins(course: Course) -> list[int]:
    """Evenings to forecast from, oldest first, so that what came two weeks later is known."""
    last = course.origin - max(HORIZONS_D)
    known = [last - ORIGINS_APART_D * n for n in range(ORIGINS)]
    return [at for at in reversed(known) if at >= LEAST_HISTORY_D]


def _forecast(course: Course, episodes: Episodes, p: Parameters, at: int) -> Forecast:
    """The panel of the days ahead as forecast from an earlier evening, the answers that came, and that course."""
    ahead = np.arange(course.days) > at  # the air of those days was not known yet
    then = replace(
        course, origin=at, temp_c=np.where(ahead, np.nan, course.temp_c), rh_pct=np.where(ahead, np.nan, course.rh_pct)
    )
    state = skin.follow(then, p)
    days = np.array([at + d for d in HORIZONS_D])
    told = skin.told(then, state, episodes, p, at + 1)
    whole = state.panel(p)
    panel = taught(whole.columns(days), told, p)
    limited = usable_answers(course, episodes)[:, days]
    own = own_ranges(then, whole, p.changed(**dict.fromkeys(RANGES, 1.0))).columns(days) if asks(p) else None
    return Forecast(panel, limited, course.reserve_pt[:, days], course.dampness_pt[:, days], own)


def _answers(forecasts: Sequence[Forecast]) -> int:
    return sum(int(np.sum(~np.isnan(one.limited))) for one in forecasts)


def _score(forecasts: Sequence[Forecast], p: Parameters) -> float:
    """Mean negative log score of the answers that came."""
    total = 0.0
    for one in forecasts:
        fine = chance_of_answer(one.panel, p)
        said = -np.log(np.where(one.limited > 0.5, 1.0 - fine, fine))
        total += float(np.sum(said[~np.isnan(one.limited)]))
    return total / max(_answers(forecasts), 1)


def _limits(forecasts: Sequence[Forecast], p: Parameters) -> Parameters:
    """The limits that score best, each held to the register by a normal prior."""
    from scipy.optimize import minimize

    answers = _answers(forecasts)

    def loss(values: Floats) -> float:
        tried = _inside(p, dict(zip(LIMITS, values.tolist(), strict=True)))
        away = sum(((tried[name] - QUANTITIES[name].default) / LIMIT_SD_PT) ** 2 for name in LIMITS)
        return _score(forecasts, tried) + 0.5 * away / answers

    start = np.array([p[name] for name in LIMITS])
    found = minimize(loss, start, method="Nelder-Mead", options={"maxiter": 80, "xatol": 0.02, "fatol": 1e-5})
    return _inside(p, dict(zip(LIMITS, found.x.tolist(), strict=True)))


def _inside(p: Parameters, values: Mapping[str, float]) -> Parameters:
    kept = {n: float(min(max(v, QUANTITIES[n].low), QUANTITIES[n].high)) for n, v in values.items()}
    return p.changed(**kept)


def _members(course: Course, p: Parameters, register: Parameters) -> Parameters:
    """Means and spreads over the squad, from what is believed of each member; spreads at least half the register's."""
    state = skin.follow(course, p)
    reserve, damp = state.reserve, state.dampness
    banks = {
        "reserve_rested_pt": (Bank(reserve.log_weight, reserve.belief), 1),
        "reserve_wear_pt_per_slu": (Bank(reserve.log_weight, reserve.belief), 2),
        "dampness_usual_pt": (Bank(damp.log_weight, damp.belief), 1),
    }
    values, spreads = {}, {}
    for name, (bank, which) in banks.items():
        weight = np.exp(bank.log_weight)
        mean = ordered_sum(weight * bank.belief.mean[which])
        spread_in = ordered_sum(weight * (bank.belief.cov[which, which] + (bank.belief.mean[which] - mean) ** 2))
        values[name] = float(np.mean(mean))
        spreads[name] = max(float(np.sqrt(np.mean(spread_in) + np.var(mean))), 0.5 * register.spread(name))
    scale = values["reserve_wear_pt_per_slu"] / QUANTITIES["reserve_wear_pt_per_slu"].default
    spreads["reserve_wear_pt_per_slu"] /= scale  # the filter scales it again with the mean
    return _inside(p, values).respread(**spreads)


def _ranged(forecasts: Sequence[Forecast], p: Parameters) -> Parameters:
    """The factors of the variance of ratings under which ranges score best, narrower or wider."""
    asked = ((one, one.own) for one in forecasts)
    rated = [Rated(one.panel, own, one.reserve_pt, one.dampness_pt) for one, own in asked if own is not None]
    return p.changed(**ranges_that_score(rated, HORIZONS_D, p))


def _widened(forecasts: Sequence[Forecast], p: Parameters) -> Parameters:
    """The factors of variance under which four of five ranges of reported ratings hold, by bisection."""
    found = {}
    for column, days in enumerate(HORIZONS_D):
        name = f"inflation_{days}d"
        low, high = 1.0 / p[name], WIDEST / p[name]
        for _ in range(16):
            middle = 0.5 * (low + high)
            enough = _held_share(forecasts, column, middle, p) >= RANGE_SHARE
            low, high = (low, middle) if enough else (middle, high)
        found[name] = 0.5 * (low + high) * p[name]
    return _inside(p, found)


def _held_share(forecasts: Sequence[Forecast], column: int, factor: float, p: Parameters) -> float:
    """Share of the ratings of one horizon that lie inside their range, its variances times a factor."""
    low, high = LEVELS.index(0.10), LEVELS.index(0.90)
    held = count = 0
    for one in forecasts:
        panel = one.panel.columns(slice(column, column + 1))
        told = reported(_times(panel, factor), np.full(panel.reserve_pt.shape, HALF_STEP_PT), p)
        for ranges, ratings in ((told.reserve_pt, one.reserve_pt), (told.dampness_pt, one.dampness_pt)):
            rating = ratings[:, column]
            inside = (rating >= ranges[low][:, 0]) & (rating <= ranges[high][:, 0])
            held, count = held + int(np.sum(inside)), count + int(np.sum(~np.isnan(rating)))
    return held / max(count, 1)


def _times(panel: Panel, factor: float) -> Panel:
    names = ("reserve_known_var", "reserve_noise_var", "dampness_known_var", "dampness_noise_var")
    return panel.with_means(**{name: factor * getattr(panel, name) for name in names})
