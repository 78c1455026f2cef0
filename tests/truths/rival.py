"""The honest rival: a logistic regression on what a coach could tabulate, with a ridge chosen by held-out athletes.

It is given more than the model: it is taught the outcome of every athlete of a whole training squad, asked or not.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import Course, Episodes
from tests.truths.kept import Floats

RIDGES = (0.3, 1.0, 3.0, 10.0, 30.0, 100.0)
FOLDS = 5


@dataclass(frozen=True)
class Rival:
    middle: Floats
    scale: Floats
    weights: Floats
    ridge: float

    def chance(self, features: Floats) -> Floats:
        return 1 / (1 + np.exp(-_with_one((features - self.middle) / self.scale) @ self.weights))


def features(course: Course, episodes: Episodes, horizon: int) -> Floats:
    """One row an athlete, from facts up to the origin and plans up to the target day."""
    at, target = course.origin, course.origin + horizon
    plan = np.nan_to_num(course.load_plan_slu)
    load = np.where(np.isnan(course.load_done_slu), 0.88 * plan, course.load_done_slu)
    dose = np.nan_to_num(course.dose_done.max(axis=2), nan=0.0)
    coming = np.nan_to_num(course.dose_plan.max(axis=2), nan=0.0)
    answers = course.limited[:, : at + 1]
    fine, count = (answers == 0).sum(axis=1), (~np.isnan(answers)).sum(axis=1)
    rate, last = (fine + 2.0) / (count + 4.0), _recent(1 - answers, at, 60, 0.5, 2.0)
    damage = np.zeros((3, course.athletes))
    for row, deep, noticed, stage in zip(
        episodes.athlete, episodes.deep, episodes.noticed, episodes.stage, strict=True
    ):
        damage[0, row] = 1.0
        damage[1, row] = max(damage[1, row], np.nan_to_num(deep, nan=0.4) * np.exp(-(target - noticed) / 8))
        damage[2, row] = max(damage[2, row], np.exp(-(target - noticed) / 5) * (stage < 2))
    columns = [rate, last, np.log(rate / (1 - rate)), *damage]
    for ratings, middle in ((course.reserve_pt, 5.5), (course.dampness_pt, 4.5)):
        week, long = (_recent(ratings, at, days, middle, known) for days, known in ((7, 0.5), (90, 1.0)))
        before = _recent(ratings, at - 7, 7, middle, 0.5)
        columns += [week, long, (week - middle) ** 2, (long - middle) ** 2, week - before]
    columns += [load[:, at - 6 : at + 1].sum(axis=1), load[:, at - 59 : at + 1].mean(axis=1)]
    columns += [plan[:, at + 1 : target].sum(axis=1), plan[:, target - 3 : target].sum(axis=1), plan[:, target - 1]]
    columns += [dose[:, at - 9 : at + 1].mean(axis=1), coming[:, target - 10 : target].mean(axis=1)]
    columns += [dose[:, : at + 1].mean(axis=1), coming[:, target - 4 : target].mean(axis=1)]
    table = np.stack(columns, axis=1)
    return np.concatenate([table, rate[:, None] * table[:, 6:]], axis=1)


def taught(x: Floats, good: Floats, athlete: Floats) -> Rival:
    """The ridge with the best Brier score of held-out athletes, then all of the squad."""
    middle, scale = x.mean(axis=0), np.maximum(x.std(axis=0), 1e-9)
    z, fold = _with_one((x - middle) / scale), athlete.astype(int) % FOLDS

    def held_out(ridge: float) -> float:
        p = np.empty(good.shape)
        for k in range(FOLDS):
            p[fold == k] = 1 / (1 + np.exp(-z[fold == k] @ _fitted(z[fold != k], good[fold != k], ridge)))
        return float(np.mean((p - good) ** 2))

    ridge = min(RIDGES, key=held_out)
    return Rival(middle, scale, _fitted(z, good, ridge), ridge)


def gain(p: Floats, rival: Floats, good: Floats, athlete: Floats, draws: int = 2000) -> tuple[float, float, float]:
    """Share of the rival's Brier score that is gone, with its 95 % range over athletes drawn again."""
    mine, other = (np.bincount(athlete.astype(int), (q - good) ** 2) for q in (p, rival))
    who = np.random.default_rng(0).integers(0, mine.size, (draws, mine.size))
    again = 1 - mine[who].sum(axis=1) / other[who].sum(axis=1)
    low, high = np.quantile(again, (0.025, 0.975))
    return float(1 - mine.sum() / other.sum()), float(low), float(high)


def _recent(values: Floats, at: int, days: int, middle: float, known: float) -> Floats:
    """Mean of some days, drawn to the middle as by so many answers of it."""
    window = values[:, max(at - days + 1, 0) : at + 1]
    there = ~np.isnan(window)
    return np.asarray((np.where(there, window, 0.0).sum(axis=1) + known * middle) / (there.sum(axis=1) + known))


def _with_one(z: Floats) -> Floats:
    return np.concatenate([np.ones((z.shape[0], 1)), z], axis=1)


def _fitted(z: Floats, good: Floats, ridge: float) -> Floats:
    """Iteratively reweighted least squares (McCullagh & Nelder 1989, 2.5), the intercept without ridge."""
    weights, penalty = np.zeros(z.shape[1]), ridge * np.eye(z.shape[1])
    penalty[0, 0] = 0.0
    for _ in range(12):
        p = 1 / (1 + np.exp(-z @ weights))
        slope = z.T @ (good - p) - penalty @ weights
        weights = weights + np.linalg.solve(z.T @ (z * (p * (1 - p) + 1e-6)[:, None]) + penalty, slope)
    return np.asarray(weights)
