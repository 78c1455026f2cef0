"""A squad whose skin follows other laws than the model's.

What differs: three-stage agents that bite late and let go slowly, wear that grows faster than load and on damp skin,
renewal that wear itself speeds up days later, flappers and splits, shedding after idle days under an agent, a drifting
sweat level with heavy tails, answers bent, sticky and missing when they would be bad, logs lost, plans not kept.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
SURFACES = {"plastic": 1.0, "ordinary rock": 1.5}


@dataclass(frozen=True)
class Damage:
    athlete: int
    day: int
    kind: str
    deep: bool
    site: str
    closes: float  # day
    sound: float  # day


@dataclass(frozen=True)
class Truth:
    """What happened and what would have; (N, T) each unless said."""

    plan_min: Floats
    done_min: Floats
    rock: Flags
    logged: Flags
    planned_dose: Flags
    took: Flags
    noted: Flags
    answered: Flags
    reserve: NDArray[np.int64]  # as it would be reported
    dampness: NDArray[np.int64]
    limited_by_skin: Flags  # a session that day would be, damage left out
    limited: Flags
    p_skin: Floats  # chance that skin does not limit a session, all levels and limits known
    responds: Flags  # (N,)
    damage: tuple[Damage, ...]
    looked: Flags


def squad(seed: int, athletes: int = 600, days: int = 150) -> Truth:
    rng = np.random.default_rng(seed)
    n, t = athletes, days
    plan, rock = _plans(rng, n, t)
    done = np.where(plan > 0, plan * np.clip(rng.normal(0.88, 0.35, plan.shape), 0, None), 0.0)
    extra = (plan == 0) & (rng.random(plan.shape) < 0.05)
    done = np.where(extra, rng.uniform(20, 60, plan.shape), done)
    dose_plan, took = _courses(rng, n, t)
    reserve, damp, hard = _levels(rng, done, rock, took, responds := rng.random(n) > 0.15)
    p_skin, skin = _limits(rng, reserve, damp, hard)
    damage, unsound, looked = _damages(rng, done, damp)
    answered = _answers(rng, reserve, done)
    return Truth(
        plan_min=plan, done_min=done, rock=rock, logged=rng.random(plan.shape) > 0.15, planned_dose=dose_plan,
        took=took, noted=(rng.random(plan.shape) > 0.22) & (rng.random((n, 1)) > 0.10), answered=answered,
        reserve=_reported(rng, reserve, answered), dampness=_reported(rng, damp, answered), limited_by_skin=skin,
        limited=skin | unsound, p_skin=p_skin, responds=responds, damage=damage, looked=looked,
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


def _levels(
    rng: np.random.Generator, done: Floats, rock: Flags, took: Flags, responds: Flags
) -> tuple[Floats, Floats, Floats]:
    n, t = done.shape
    rested, wear = rng.normal(8.0, 1.2, n), 0.21 * np.exp(rng.normal(0, 0.4, n))
    stirred, sweat = rng.uniform(0, 1.5, n), rng.normal(5.4, 1.7, n)
    lag, off = 5.3 * np.exp(rng.normal(0, 0.3, n)), 9.0 * np.exp(rng.normal(0, 0.45, n))
    effect = np.where(responds, np.clip(rng.normal(3.2, 1.1, n), 0.5, None), 0.0)
    stage, bound, memory = np.zeros((3, n)), np.zeros(n), np.zeros((2, n))
    level, passing, hard, idle = rested - 1.5, np.zeros(n), rng.normal(4.5, 1.0, n), np.zeros(n)
    out = np.zeros((3, n, t))
    for day in range(t):
        passing = 0.7 * passing + 0.5 * rng.standard_t(3, n)
        sweat = sweat + rng.normal(0, 0.06, n)
        gripped = bound**1.4 / (bound**1.4 + 0.35**1.4) * (1 + 0.35**1.4)
        damp = np.clip(sweat + passing - effect * gripped, 0, 10)
        out[:, :, day] = level, damp, hard
        slu = done[:, day] / 60 * np.where(rock[:, day], 1.5, 1.0)
        removed = wear * (1 + 0.06 * np.clip(damp - 5, 0, None)) * slu**1.15 * np.exp(rng.normal(0, 0.3, n))
        memory[1] += (memory[0] - memory[1]) / 2.0
        memory[0] += (removed - memory[0]) / 3.0
        regrown = (rested - level) / 16.0 * (1 + stirred * 2.0 * memory[1])
        idle = np.where(slu > 0, 0.0, idle + 1)
        shed = (gripped > 0.6) & (idle >= 3) & (rng.random(n) < 0.12)
        level = np.clip(level + regrown - removed - np.where(shed, 1.2, 0.0) + rng.normal(0, 0.25, n), 0, 10)
        pull = 1 - np.exp(-2.2 / lag)
        stage[0] += pull * (took[:, day] - stage[0])
        stage[1] += pull * (stage[0] - stage[1])
        stage[2] += pull * (stage[1] - stage[2])
        bound = np.where(stage[2] > bound, stage[2], bound + (stage[2] - bound) / off)
        hard = np.clip(hard + (4.5 - hard) / 11 + 0.22 * gripped * took[:, day] + rng.normal(0, 0.3, n), 0, 10)
    return out[0], out[1], out[2]


def _limits(
    rng: np.random.Generator, reserve: Floats, damp: Floats, hard: Floats
) -> tuple[Floats, Flags]:
    """Chance that skin holds, with each athlete's own limits known, and one draw of what a session would be."""
    n = reserve.shape[0]
    low, high = 3.8 + rng.normal(0, 0.8, (n, 1)), 6.4 + rng.normal(0, 0.7, (n, 1))
    dry, glassy = 1.0 + rng.normal(0, 0.4, (n, 1)), 8.0
    p = ndtr((reserve - low) / 0.8) * ndtr((high - damp) / 0.8) * ndtr((damp - dry) / 0.8) * ndtr((glassy - hard) / 0.9)
    return p, rng.random(p.shape) > p


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


def _damages(
    rng: np.random.Generator, done: Floats, damp: Floats
) -> tuple[tuple[Damage, ...], Flags, Flags]:
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
    return tuple(found), unsound, looked


def _log_logistic(rng: np.random.Generator, median: float) -> float:
    u = rng.uniform(0.02, 0.98)
    return float(median * (u / (1 - u)) ** 0.22)
