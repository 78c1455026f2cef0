"""The best forecast of `skins`: its own laws, today's state and everyone's parameters known, the future not.

Plans are known, what is made of them is not; damage that is open is known to the day on which it closed, no further.
"""

from __future__ import annotations

import numpy as np

from tests.truths.kept import Damage, Flags, Floats, Truth
from tests.truths.skins import evening, holds, morning

LATEST = 60


def best(truth: Truth, at: int, ahead: int, draws: int = 60, seed: int = 0) -> tuple[Floats, Floats]:
    """Chance that nothing limits, and that skin alone does not, `ahead` days after the morning of `at`; (N,) each."""
    rng = np.random.default_rng((seed, at, ahead))
    known, n = truth.hidden, truth.plan_min.shape[0]
    state = {name: np.repeat(values[None, :, at], draws, axis=0) for name, values in known.states.items()}
    unsound = _open(rng, truth, at, ahead, draws)
    for day in range(at, at + ahead):
        plan = truth.plan_min[:, day]
        done = np.where(plan > 0, plan * np.clip(rng.normal(0.88, 0.35, (draws, n)), 0, None), 0.0)
        extra = (plan == 0) & (rng.random((draws, n)) < 0.05)
        done = np.where(extra, rng.uniform(20, 60, (draws, n)), done)
        took = truth.planned_dose[:, day] & (rng.random((draws, n)) < 0.85)
        unsound = unsound | _new(rng, truth, done, state["damp"], at + ahead - day)
        slu = done / 60 * np.where(truth.rock[:, day], 1.5, 1.0)
        state = morning(rng, known.body, evening(rng, known.body, state, slu, took))
    limits = {name: values[:, 0] for name, values in known.limits.items()}
    chance = holds(state["level"], state["damp"], state["hard"], limits)
    return np.mean(chance * ~unsound, axis=0), np.mean(chance, axis=0)


def _open(rng: np.random.Generator, truth: Truth, at: int, ahead: int, draws: int) -> Flags:
    unsound = np.zeros((draws, truth.plan_min.shape[0]), dtype=np.bool_)
    for d in truth.damage:
        if d.day < at < d.sound:
            first, whole = _medians(d, truth.hidden.pace[d.athlete])
            shut = np.full(draws, d.closes)
            closes = shut if d.closes <= at else d.day + _log_logistic(rng, first, draws, at - d.day)
            sound = closes + _log_logistic(rng, whole, draws, at - closes)
            unsound[:, d.athlete] |= np.ceil(sound) > at + ahead
    return unsound


def _new(rng: np.random.Generator, truth: Truth, done: Floats, damp: Floats, left: int) -> Flags:
    """Damage of one day that is not sound `left` days later."""
    risk = np.where(done > 0, 0.006 + 0.012 * (damp < 3) + 0.006 * (done > 120), 0.0)
    hurt = rng.random(done.shape) < risk
    pace = np.broadcast_to(truth.hidden.pace, done.shape)[hurt]
    flapper, crease, deep = (rng.random(pace.shape) < share for share in (0.35, 0.4, 0.4))
    slow = pace * np.where(crease, 1.25, 1.0)
    first = _log_logistic(rng, slow * np.where(deep, 4.5, 1.0), pace.shape[0], 0.0)
    whole = _log_logistic(rng, slow * np.where(deep, 5.0, 3.5), pace.shape[0], 0.0)
    result = np.zeros(done.shape, dtype=np.bool_)
    result[hurt] = np.ceil(first + whole) > left
    return result


def _medians(d: Damage, pace: float) -> tuple[float, float]:
    slow = pace * (1.25 if "crease" in d.site else 1.0)
    return slow * (4.5 if d.deep else 1.0), slow * (5.0 if d.deep else 3.5)


def _log_logistic(rng: np.random.Generator, median: Floats | float, count: int, past: Floats | float) -> Floats:
    """Times of which it is known that they are longer than `past`; the same cut ends as the truth's."""
    ratio = (np.maximum(past, 1e-9) / median) ** (1 / 0.22)
    low = np.clip(ratio / (1 + ratio), 0.02, 0.98)
    u = rng.uniform(low, 0.98, count)
    return np.asarray(median * (u / (1 - u)) ** 0.22)
