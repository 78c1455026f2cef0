"""Forecasts that were kept and what came, as arrays on one grid of days; no rival looks past its evening."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from athletes.records.queries_scored import Came
from coaching.ledger.kept import KeptRow
from coaching.science.inputs import Bools, Floats, Ints
from coaching.science.rivals import Logistic, last_known, logistic, trailing_mean, tuned

WEEK_D, LONG_D = 7, 28
FEWEST_TO_LEARN = 30
MOST_TO_LEARN = 3000
USUAL_WEIGHT = 4.0
"""Answers for which the squad's share stands in an athlete's own."""


@dataclass(frozen=True)
class Days:
    """What came, by athlete and day, (N, T); NaN not known."""

    first: date
    row: dict[int, int]
    reserve_pt: Floats
    dampness_pt: Floats
    agent: Floats  # 1 an agent was used, 0 not
    limited: Floats  # 1 skin limited a session, 0 it did not
    climbed: Bools
    planned_slu: Floats  # 0 where nothing is planned
    seen_open: Bools

    def column(self, day: date) -> int:
        return (day - self.first).days


def days_of(athlete_ids: Sequence[int], came: Came, first: date, last: date) -> Days:
    """The grid from `first` to `last`."""
    row = {athlete_id: n for n, athlete_id in enumerate(athlete_ids)}
    shape = (len(row), (last - first).days + 1)
    reserve, dampness, agent, limited = (np.full(shape, np.nan) for _ in range(4))
    climbed, seen, planned = np.zeros(shape, bool), np.zeros(shape, bool), np.zeros(shape)
    start = first.toordinal()
    for athlete_id, day, felt, damp, used in came.ratings:
        at = row[athlete_id], day.toordinal() - start
        reserve[at], dampness[at], agent[at] = (np.nan if v is None else v for v in (felt, damp, used))
    for athlete_id, day, ahead, skin, minutes, effort in came.sessions:
        at = row[athlete_id], day.toordinal() - start
        if ahead:
            planned[at] += (minutes or 0.0) / 60.0 * (effort or 0.0) / 5.0
        else:
            climbed[at] = True
            if skin is not None:  # of several sessions one that skin limited counts
                limited[at] = np.fmax(limited[at], float(skin))
    for athlete_id, day in came.seen_open:
        seen[row[athlete_id], day.toordinal() - start] = True
    return Days(first, row, reserve, dampness, agent, limited, climbed, planned, seen)


@dataclass(frozen=True)
class Kept:
    """K forecasts: who, when made, for which days; columns of the grid."""

    athlete: Ints
    made: Ints
    target: Ints
    until: Ints
    event: Bools
    p: Floats
    told: Floats  # (2, Q, K) quantiles of reserve and dampness, pt

    @property
    def horizon(self) -> Ints:
        return self.target - self.made

    def only(self, which: Bools) -> Kept:
        parts = {name: value[which] for name, value in vars(self).items() if name != "told"}
        return Kept(**parts, told=self.told[:, :, which])


def kept_of(rows: Sequence[KeptRow], days: Days) -> Kept:
    """The forecasts as arrays, in the order given."""
    start = days.first.toordinal()
    columns = [
        (days.row[r.athlete_id], r.made_on.toordinal() - start, r.target_day.toordinal() - start,
         r.until_day.toordinal() - start, r.event_id != 0)
        for r in rows
    ]  # fmt: skip
    who, made, target, until, event = (np.array(part, dtype=np.int64) for part in zip(*columns, strict=True))
    told = np.array([r.told for r in rows], dtype=np.float64)
    return Kept(who, made, target, until, event > 0, np.array([r.p for r in rows]), np.moveaxis(told, 0, -1))


def held(kept: Kept, days: Days) -> Floats:
    """Whether skin held on the days of each forecast: 1 yes, 0 no, NaN no answer, (K,)."""
    result = np.full(kept.p.shape, np.nan)
    for span in np.unique(kept.until - kept.target):
        which = (kept.until - kept.target) == span
        columns = np.minimum(kept.target[which, None] + np.arange(span + 1), days.limited.shape[1] - 1)
        said = days.limited[kept.athlete[which, None], columns]
        known = ~np.isnan(said)
        result[which] = np.where(known.any(axis=1), 1.0 - np.where(known, said, 0.0).max(axis=1), np.nan)
    return result


@dataclass(frozen=True)
class Habits:
    """What is known on each evening to those who forecast by habit; (N, T) each."""

    last: Floats
    week: Floats
    features: Floats  # (F, N, T), all but the plan of the day ahead
    planned: Floats


def habits(days: Days) -> Habits:
    """Last answer, week's mean, and the columns of the regression."""
    answered = ~np.isnan(days.limited)
    fine = np.where(answered, 1.0 - days.limited, 0.0)
    count = np.cumsum(answered, axis=1)
    usual = np.cumsum(fine.sum(axis=0)) / np.maximum(np.cumsum(answered.sum(axis=0)), 1)
    own = (np.cumsum(fine, axis=1) + USUAL_WEIGHT * usual) / (count + USUAL_WEIGHT)
    week, damp = trailing_mean(days.reserve_pt, WEEK_D), trailing_mean(days.dampness_pt, WEEK_D)
    features = [week, damp, (damp - 5.0) ** 2, trailing_mean(days.reserve_pt, LONG_D)]
    features += [trailing_mean(days.dampness_pt, LONG_D), trailing_mean(days.agent, WEEK_D), own]
    last = np.where(np.isnan(last_known(days.limited)), np.nan, 1.0 - last_known(days.limited))
    return Habits(last, week, np.stack(features), days.planned_slu)


def rivals(kept: Kept, days: Days) -> dict[str, Floats]:
    """What four rivals would have said of the same forecasts, (K,) each; NaN where too little was known to learn.

    Each learns, week by week, from what had come by that week's first evening, and says one chance for one horizon.
    """
    told = {name: np.full(kept.p.shape, np.nan) for name in ("average", "persistence", "week", "regression")}
    known = habits(days)
    ahead = np.where(kept.event, WEEK_D, kept.horizon)
    for horizon in np.unique(ahead):
        pairs = _pairs(days, int(horizon))
        for begin in np.unique(kept.made // WEEK_D) * WEEK_D:
            which = (ahead == horizon) & (kept.made // WEEK_D * WEEK_D == begin)
            who, target = (part[pairs[1] < begin][-MOST_TO_LEARN:] for part in pairs)
            if not which.any() or who.shape[0] < FEWEST_TO_LEARN:
                continue
            fine = 1.0 - days.limited[who, target]
            asked = (kept.athlete[which], kept.made[which], kept.target[which])
            for name, made in _learned(known, (who, target - horizon, target), fine).items():
                told[name][which] = made.chance(_columns(name, known, asked))
    return told


def _pairs(days: Days, horizon: int) -> tuple[Ints, Ints]:
    """Athletes and days with an answer that an evening so long before can be looked at for, by day."""
    who, target = np.nonzero(~np.isnan(days.limited))
    usable = target >= horizon
    order = np.argsort(target[usable], kind="stable")
    return who[usable][order], target[usable][order]


def _learned(known: Habits, at: tuple[Ints, Ints, Ints], fine: Floats) -> dict[str, Logistic]:
    one = {n: logistic(_columns(n, known, at), fine, 1.0) for n in ("average", "persistence", "week")}
    return {**one, "regression": tuned(_columns("regression", known, at), fine)}


def _columns(name: str, known: Habits, at: tuple[Ints, Ints, Ints]) -> Floats:
    """What a rival looks at: rows (athlete, evening, day ahead)."""
    who, evening, target = at
    if name == "average":
        return np.zeros((who.shape[0], 0))
    if name in ("persistence", "week"):
        return np.asarray((known.last if name == "persistence" else known.week)[who, evening][:, None])
    planned = known.planned[who, np.minimum(target, known.planned.shape[1] - 1)]
    return np.column_stack([known.features[:, who, evening].T, planned])
