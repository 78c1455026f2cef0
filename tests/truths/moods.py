"""A squad whose skin is worn in proportion, whose sweat has two moods, and that follows its own last answer.

What differs from the model: load takes a share of the skin that is left, regrowth is logistic and slower after hard
weeks; sweat is low or high for days on end; an agent acts after a number of uses and less with every course; one sum of
strains limits, with wild days; answers lean on the last one; who has nothing to tell stays silent; logs are rounded;
plans are half kept, and rest days are used; damage takes Weibull times and opens again under load.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtr

from tests.truths.kept import Damage, Flags, Floats, Truth


@dataclass(frozen=True)
class Body:
    """What stays with an athlete, (N,) each."""

    full: Floats
    worn: Floats
    grows: Floats
    calm: Floats
    stirred: Floats
    stays: Floats
    needs: Floats
    tires: Floats
    relief: Floats
    tough: Floats
    grip: Floats
    pace: Floats


def squad(seed: int, athletes: int = 600, days: int = 150) -> Truth:
    draw = np.random.default_rng([3, seed])
    shape = (athletes, days)
    plan = np.where(draw.random(shape) < 0.5, draw.choice([45.0, 60.0, 90.0, 120.0, 180.0], shape), 0.0)
    rock = np.repeat(draw.random((athletes, -(-days // 10))) < 0.2, 10, axis=1)[:, :days]  # trips of ten days
    done = _climbed(draw, plan)
    user = draw.random((athletes, 1)) < 0.65
    dose_plan = user & (np.repeat(draw.random((athletes, -(-days // 18))) < 0.5, 18, axis=1)[:, :days])
    took = dose_plan & (draw.random(shape) < 0.8)
    responds = draw.random(athletes) > 0.15
    body = _body(draw, athletes, responds)
    now = {"left": 0.8 * body.full, "tired": np.zeros(athletes), "mood": (draw.random(athletes) < 0.4) * 1.0,
           "within": np.zeros(athletes), "since": np.zeros(athletes), "courses": np.zeros(athletes)}  # fmt: skip
    levels, damps, states = np.zeros(shape), np.zeros(shape), []
    for day in range(days):
        damps[:, day] = _damp(draw, body, now)
        levels[:, day] = 10 * now["left"]
        states.append(now | {"damp": damps[:, day]})
        now = _night(draw, body, now, damps[:, day], done[:, day] / 60 * np.where(rock[:, day], 1.7, 1.0), took[:, day])
    p_skin = _fine(body.tough[:, None], body.grip[:, None], levels, damps)
    by_skin = draw.random(shape) > p_skin
    damage, unsound = _hurts(draw, body, levels, done)
    reserve, answered = _said(draw, levels, done)
    dampness, _ = _said(draw, damps, done)
    return Truth(
        plan_min=plan, done_min=done, rock=rock, logged=draw.random(shape) > 0.1, planned_dose=dose_plan, took=took,
        noted=(draw.random(shape) > 0.1) & (draw.random((athletes, 1)) > 0.25), answered=answered, reserve=reserve,
        dampness=dampness, limited_by_skin=by_skin, limited=by_skin | unsound, p_skin=p_skin, responds=responds,
        damage=tuple(damage), looked=draw.random(shape) < 0.7, hidden=(body, states),
    )  # fmt: skip


def _body(draw: np.random.Generator, n: int, responds: Flags) -> Body:
    return Body(
        full=draw.beta(12, 3, n), worn=0.05 * np.exp(draw.normal(0, 0.45, n)), grows=draw.uniform(0.12, 0.3, n),
        calm=draw.normal(3.6, 1.1, n), stirred=draw.uniform(1.0, 3.5, n), stays=draw.uniform(0.75, 0.93, n),
        needs=draw.uniform(3, 8, n), tires=draw.uniform(0, 0.15, n),
        relief=np.where(responds, draw.uniform(1.2, 4.0, n), 0.0), tough=draw.normal(0, 0.8, n),
        grip=draw.normal(0, 0.6, n), pace=np.exp(draw.laplace(0, 0.2, n)),
    )  # fmt: skip


def _climbed(draw: np.random.Generator, plan: Floats) -> Floats:
    kept = np.where(draw.random(plan.shape) < 0.7, plan, plan * draw.uniform(0, 1.2, plan.shape))
    spare = (plan == 0) & (draw.random(plan.shape) < 0.08)
    return np.asarray(np.where(spare, 60.0, 15 * np.round(kept / 15)))


def _damp(draw: np.random.Generator, body: Body, now: Mapping[str, Floats]) -> Floats:
    at_work = 1 / (1 + np.exp(-1.2 * (now["within"] - body.needs))) * np.exp(-body.tires * now["courses"])
    wet = body.calm + body.stirred * now["mood"] + draw.laplace(0, 0.35, now["left"].shape)
    return np.asarray(np.clip(wet - body.relief * at_work, 0, 10))


def _night(
    draw: np.random.Generator, body: Body, now: Mapping[str, Floats], damp: Floats, load: Floats, took: Flags
) -> dict[str, Floats]:
    shape = now["left"].shape
    share = 1 - np.exp(-body.worn * load * np.where(damp > 6.5, 1.3, 1.0) * draw.gamma(8, 1 / 8, shape))
    kept = now["left"] * (1 - share)
    tired = 0.85 * now["tired"] + share
    grown = body.grows * kept * (1 - kept / body.full) / (1 + 2 * tired) * draw.uniform(0.5, 1.5, shape)
    changes = draw.random(shape) > body.stays
    within = np.where(took, now["within"] + 1, 0.8 * now["within"])
    idle = np.where(took, 0.0, now["since"] + 1)  # evenings without
    return {"left": np.clip(kept + grown, 0.05, body.full), "tired": tired, "within": np.minimum(within, 14.0),
            "mood": np.where(changes, 1 - now["mood"], now["mood"]), "since": idle,
            "courses": now["courses"] + ((idle == 4) & (now["within"] > 1))}  # fmt: skip


def _fine(tough: Floats, grip: Floats, level: Floats, damp: Floats) -> Floats:
    """One sum of strains, each growing steeply; the day's demand has tails of Student's t."""
    strain = np.exp(0.9 * (3.9 - level)) + np.exp(0.8 * (damp - 6.4 - grip)) + np.exp(1.5 * (0.8 - damp))
    return np.asarray(stdtr(3, 1.4 * (0.45 + 0.5 * tough - np.log(strain + 0.05))))


def _hurts(draw: np.random.Generator, body: Body, level: Floats, done: Floats) -> tuple[list[Damage], Flags]:
    found, unsound = list[Damage](), np.zeros(level.shape, dtype=np.bool_)
    for row, day in np.argwhere(draw.random(level.shape) < _danger(level, done)).tolist():
        deep, crease = bool(draw.random() < 0.3), bool(draw.random() < 0.25)
        first, whole = _times(draw, body.pace[row], deep, crease, 1)
        again = float(draw.random() < 0.15) * draw.uniform(1, 5)  # opens again, and takes that much longer
        shut, sound = day + float(first[0]) + again, day + float(whole[0]) + 2 * again
        site = "R-index-tip-crease" if crease else "R-index-tip"
        found.append(Damage(row, day, "split" if crease or draw.random() < 0.5 else "cut", deep, site, shut, sound))
        unsound[row, day + 1 : int(np.ceil(sound))] = True
    return found, unsound


def _danger(level: Floats, done: Floats) -> Floats:
    return np.where(done > 0, 0.005 + 0.015 * (level < 4) + 0.004 * (done > 100), 0.0)


def _times(
    draw: np.random.Generator, pace: Floats | float, deep: Floats | bool, crease: Floats | bool, count: int
) -> tuple[Floats, Floats]:
    scale = pace * np.where(deep, 9.0, 5.0) * np.where(crease, 1.3, 1.0)
    whole = scale * draw.weibull(3.2, count)
    return whole * draw.uniform(0.2, 0.5, count), whole


def _said(draw: np.random.Generator, level: Floats, done: Floats) -> tuple[np.ndarray, Flags]:
    """Answers lean on the last one given; after a week of silence most are reminded."""
    n, days = level.shape
    bend, leans = draw.normal(0, 0.8, n), draw.uniform(0, 0.45, n)
    eager, silent, last = draw.uniform(0.35, 0.95, n), np.zeros(n), level[:, 0]
    told, gave = np.zeros(level.shape), np.zeros(level.shape, dtype=np.bool_)
    for day in range(days):
        fresh = level[:, day] + bend + draw.normal(0, 0.8, n)
        told[:, day] = np.clip(np.round(leans * last + (1 - leans) * fresh), 0, 10)
        gave[:, day] = draw.random(n) < np.where(silent >= 7, 0.9, eager * np.where(done[:, day] > 0, 1.0, 0.6))
        last = np.where(gave[:, day], told[:, day], last)
        silent = np.where(gave[:, day], 0, silent + 1)
    return told.astype(np.int64), gave


def best(truth: Truth, at: int, ahead: int, draws: int = 60, seed: int = 0) -> tuple[Floats, Floats]:
    """Chance that nothing limits, and that skin alone does not, all but the future known; (N,) each."""
    draw, (body, states), n = np.random.default_rng([seed, at, ahead]), truth.hidden, truth.plan_min.shape[0]
    now = {name: np.repeat(values[None], draws, axis=0) for name, values in states[at].items()}
    damp, unsound = now["damp"], np.zeros((draws, n), dtype=np.bool_)
    for d in truth.damage:
        if d.day < at and np.ceil(d.sound) > at:
            _, whole = _times(draw, body.pace[d.athlete], d.deep, "crease" in d.site, 4000)
            whole = whole + 2 * (draw.random(4000) < 0.15) * draw.uniform(1, 5, 4000)
            left = whole[np.ceil(d.day + whole) > at]
            late = np.mean(np.ceil(d.day + left) > at + ahead) if left.size else 1.0
            unsound[:, d.athlete] |= draw.random(draws) < late
    for day in range(at, at + ahead):
        done = _climbed(draw, np.broadcast_to(truth.plan_min[:, day], (draws, n)))
        hurt = draw.random((draws, n)) < _danger(10 * now["left"], done)
        paces = np.broadcast_to(body.pace, (draws, n))[hurt]
        _, whole = _times(draw, paces, draw.random(paces.size) < 0.3, draw.random(paces.size) < 0.25, paces.size)
        whole = whole + 2 * (draw.random(paces.size) < 0.15) * draw.uniform(1, 5, paces.size)
        unsound[hurt] |= np.ceil(day + whole) > at + ahead
        took = truth.planned_dose[:, day] & (draw.random((draws, n)) < 0.8)
        now = _night(draw, body, now, damp, done / 60 * np.where(truth.rock[:, day], 1.7, 1.0), took)
        damp = _damp(draw, body, now)
    chance = _fine(body.tough, body.grip, 10 * now["left"], damp)
    return np.mean(chance * ~unsound, axis=0), np.mean(chance, axis=0)
