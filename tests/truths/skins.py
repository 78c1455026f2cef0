"""A squad whose skin follows other laws than the model's.

What differs: three-stage agents that bite late and let go slowly, wear that grows faster than load and on damp skin,
renewal that wear itself speeds up days later, flappers and splits, shedding after idle days under an agent, a drifting
sweat level with heavy tails, answers bent, sticky and missing when they would be bad, logs lost, plans not kept.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from tests.truths.kept import Damage, Flags, Floats, Truth

STATES = ("sweat", "passing", "level", "hard", "idle", "bound", "in0", "in1", "in2", "worn0", "worn1")


@dataclass(frozen=True)
class Hidden:
    body: Mapping[str, Floats]  # what stays: (N, 1) each
    states: Mapping[str, Floats]  # (N, T) on each morning
    limits: Mapping[str, Floats]  # (N, 1)
    pace: Floats  # (N,)


def squad(seed: int, athletes: int = 600, days: int = 150) -> Truth:
    rng = np.random.default_rng(seed)
    n, t = athletes, days
    plan, rock = _plans(rng, n, t)
    done = np.where(plan > 0, plan * np.clip(rng.normal(0.88, 0.35, plan.shape), 0, None), 0.0)
    extra = (plan == 0) & (rng.random(plan.shape) < 0.05)
    done = np.where(extra, rng.uniform(20, 60, plan.shape), done)
    dose_plan, took = _courses(rng, n, t)
    responds = rng.random(n) > 0.15
    body, states = _bodies(rng, responds)
    states = _levels(rng, body, states, done * np.where(rock, 1.5, 1.0), took)
    reserve, damp = states["level"], states["damp"]
    limits = _limits(rng, n)
    p_skin = holds(reserve, damp, states["hard"], limits)
    skin = rng.random(p_skin.shape) > p_skin
    damage, unsound, looked, pace = _damages(rng, done, damp)
    answered = _answers(rng, reserve, done)
    return Truth(
        plan_min=plan, done_min=done, rock=rock, logged=rng.random(plan.shape) > 0.15, planned_dose=dose_plan,
        took=took, noted=(rng.random(plan.shape) > 0.22) & (rng.random((n, 1)) > 0.10), answered=answered,
        reserve=_reported(rng, reserve, answered), dampness=_reported(rng, damp, answered), limited_by_skin=skin,
        limited=skin | unsound, p_skin=p_skin, responds=responds, damage=damage, looked=looked,
        hidden=Hidden(body, states, limits, pace),
    )  # fmt: skip


def _plans(rng: np.random.Generator, n: int, t: int) -> tuple[Floats, Flags]:
    habit = rng.uniform(0.3, 0.7, (n, 1))
    block = np.repeat(rng.random((n, -(-t // 7))), 7, axis=1)[:, :t]  # weeks differ: some hard, some idle
    trains = rng.random((n, t)) < habit * np.where(block < 0.15, 0.2, 1.15)
    minutes = np.where(trains, rng.gamma(6.0, 15.0, (n, t)), 0.0)
    return np.round(minutes), (np.arange(t) % 7 >= 5) & (rng.random((n, t)) < 0.35)


def _courses(rng: np.random.Generator, n: int, t: int) -> tuple[Flags, Flags]:
    """Evenings planned and taken; six of ten athletes use an agent, in courses of two to four weeks."""
    planned = np.zeros((n, t), dtype=np.bool_)
    for row in np.flatnonzero(rng.random(n) < 0.6):
        day = int(rng.integers(5, 50))
        while day < t:
            length = int(rng.integers(10, 29))
            planned[row, day : day + length] = True
            day += length + int(rng.integers(14, 40))
    return planned, planned & (rng.random((n, t)) < 0.85)


def _bodies(rng: np.random.Generator, responds: Flags) -> tuple[dict[str, Floats], dict[str, Floats]]:
    """What stays with an athlete, and the first morning; (N,) each."""
    n = responds.shape[0]
    rested, wear = rng.normal(8.0, 1.2, n), 0.21 * np.exp(rng.normal(0, 0.4, n))
    stirred, sweat = rng.uniform(0, 1.5, n), rng.normal(5.4, 1.7, n)
    lag, off = 5.3 * np.exp(rng.normal(0, 0.3, n)), 9.0 * np.exp(rng.normal(0, 0.45, n))
    effect = np.where(responds, np.clip(rng.normal(3.2, 1.1, n), 0.5, None), 0.0)
    body = {"rested": rested, "wear": wear, "stirred": stirred, "lag": lag, "off": off, "effect": effect}
    first = {name: np.zeros(n) for name in STATES} | {"sweat": sweat, "level": rested - 1.5}
    return body, first | {"hard": rng.normal(4.5, 1.0, n)}


def _levels(
    rng: np.random.Generator, body: Mapping[str, Floats], first: dict[str, Floats], slu: Floats, took: Flags
) -> dict[str, Floats]:
    """States and dampness of every morning, (..., T), from the first morning on; loads and doses (..., T)."""
    state, by_day = first, []
    for day in range(slu.shape[-1]):
        shown = morning(rng, body, state)
        by_day.append(shown)
        state = evening(rng, body, shown, slu[..., day] / 60, took[..., day])
    return {name: np.stack([one[name] for one in by_day], axis=-1) for name in by_day[0]}


def morning(rng: np.random.Generator, body: Mapping[str, Floats], s: Mapping[str, Floats]) -> dict[str, Floats]:
    shape = s["level"].shape
    passing = 0.7 * s["passing"] + 0.5 * rng.standard_t(3, shape)
    sweat = s["sweat"] + rng.normal(0, 0.06, shape)
    gripped = s["bound"] ** 1.4 / (s["bound"] ** 1.4 + 0.35**1.4) * (1 + 0.35**1.4)
    damp = np.clip(sweat + passing - body["effect"] * gripped, 0, 10)
    return dict(s) | {"passing": passing, "sweat": sweat, "gripped": gripped, "damp": damp}


def evening(
    rng: np.random.Generator, body: Mapping[str, Floats], s: Mapping[str, Floats], slu: Floats, took: Flags
) -> dict[str, Floats]:
    shape, level = s["level"].shape, s["level"]
    removed = body["wear"] * (1 + 0.06 * np.clip(s["damp"] - 5, 0, None)) * slu**1.15
    removed = removed * np.exp(rng.normal(0, 0.3, shape))
    worn1 = s["worn1"] + (s["worn0"] - s["worn1"]) / 2.0
    worn0 = s["worn0"] + (removed - s["worn0"]) / 3.0
    regrown = (body["rested"] - level) / 16.0 * (1 + body["stirred"] * 2.0 * worn1)
    idle = np.where(slu > 0, 0.0, s["idle"] + 1)
    shed = (s["gripped"] > 0.6) & (idle >= 3) & (rng.random(shape) < 0.12)
    level = np.clip(level + regrown - removed - np.where(shed, 1.2, 0.0) + rng.normal(0, 0.25, shape), 0, 10)
    pull = 1 - np.exp(-2.2 / body["lag"])
    in0 = s["in0"] + pull * (took - s["in0"])
    in1 = s["in1"] + pull * (in0 - s["in1"])
    in2 = s["in2"] + pull * (in1 - s["in2"])
    bound = np.where(in2 > s["bound"], in2, s["bound"] + (in2 - s["bound"]) / body["off"])
    hard = s["hard"] + (4.5 - s["hard"]) / 11 + 0.22 * s["gripped"] * took + rng.normal(0, 0.3, shape)
    return {"sweat": s["sweat"], "passing": s["passing"], "level": level, "hard": np.clip(hard, 0, 10), "idle": idle,
            "bound": bound, "in0": in0, "in1": in1, "in2": in2, "worn0": worn0, "worn1": worn1}  # fmt: skip


def _limits(rng: np.random.Generator, n: int) -> dict[str, Floats]:
    low, high = 3.8 + rng.normal(0, 0.8, (n, 1)), 6.4 + rng.normal(0, 0.7, (n, 1))
    return {"low": low, "high": high, "dry": 1.0 + rng.normal(0, 0.4, (n, 1)), "glassy": np.full((n, 1), 8.0)}


def holds(reserve: Floats, damp: Floats, hard: Floats, limits: Mapping[str, Floats]) -> Floats:
    """Chance that skin holds, with each athlete's own limits known."""
    enough, mild = ndtr((reserve - limits["low"]) / 0.8), ndtr((limits["high"] - damp) / 0.8)
    return np.asarray(enough * mild * ndtr((damp - limits["dry"]) / 0.8) * ndtr((limits["glassy"] - hard) / 0.9))


def _answers(rng: np.random.Generator, reserve: Floats, done: Floats) -> Flags:
    """37 % missing, more of them after rest and on bad mornings."""
    keen = rng.normal(0.75, 0.7, (reserve.shape[0], 1))
    odds = keen - 0.35 * (done == 0) - 0.5 * (reserve < 4)
    return rng.random(reserve.shape) < 1 / (1 + np.exp(-odds))


def _reported(rng: np.random.Generator, level: Floats, answered: Flags) -> NDArray[np.int64]:
    n, t = level.shape
    offset, gain = rng.normal(0, 0.9, (n, 1)), np.exp(rng.normal(0, 0.18, (n, 1)))
    told = np.clip(np.round(5 + offset + gain * (level - 5) + 0.7 * rng.standard_t(4, level.shape)), 0, 10)
    sticky, last = rng.random((n, t)) < 0.15, told[:, 0].copy()
    for day in range(t):
        told[:, day] = np.where(sticky[:, day], last, told[:, day])
        last = np.where(answered[:, day], told[:, day], last)
    return told.astype(np.int64)


def _damages(rng: np.random.Generator, done: Floats, damp: Floats) -> tuple[tuple[Damage, ...], Flags, Flags, Floats]:
    """Splits of dry skin and flappers of hard sessions; log-logistic times, each athlete with a pace of their own."""
    n, t = done.shape
    pace, unsound = np.exp(rng.normal(0, 0.27, n)), np.zeros((n, t), dtype=np.bool_)
    looked = rng.random((n, t)) < 0.63
    found: list[Damage] = []
    risk = np.where(done > 0, 0.006 + 0.012 * (damp < 3) + 0.006 * (done > 120), 0.0)
    for row, day in np.argwhere(rng.random((n, t)) < risk).tolist():
        flapper, crease, deep = rng.random() < 0.35, rng.random() < 0.4, rng.random() < 0.4

        slow = pace[row] * (1.25 if crease else 1.0)
        first = slow * _log_logistic(rng, 4.5 if deep else 1.0)
        whole = first + slow * _log_logistic(rng, 5.0 if deep else 3.5)
        site = "R-middle-tip-crease" if crease else "R-middle-tip"
        kind = "flapper" if flapper and not crease else "split"
        found.append(Damage(row, day, kind, deep, site, day + first, day + whole))
        unsound[row, day + 1 : int(np.ceil(day + whole))] = True
    return tuple(found), unsound, looked, pace


def _log_logistic(rng: np.random.Generator, median: float) -> float:
    u = rng.uniform(0.02, 0.98)
    return float(median * (u / (1 - u)) ** 0.22)
