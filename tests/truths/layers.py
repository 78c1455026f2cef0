"""A squad whose skin has two layers, whose sweat comes in tides, and that answers by twos and in spells.

What differs from the model: only load above what an athlete can bear wears, first the outer layer and then, at half the
pace, the inner one; both grow back at a steady pace and not in proportion to what is missing; sweat swings in a
personal period and jumps; an agent waits some days, then takes a share of the sweat; the worst of three conditions
limits; answers fall into five steps with cuts of each athlete's own; whole weeks are missing; damage heals in one go.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tests.truths.kept import Damage, Flags, Floats, Truth

LONGEST_WAIT_D = 9
STEPS = np.array([1.0, 3.0, 5.0, 7.0, 9.0])


@dataclass(frozen=True)
class Hidden:
    body: Mapping[str, Floats]  # (N,) each
    states: Mapping[str, Floats]  # (N, T) or (N, LONGEST_WAIT_D, T), on each morning


def squad(seed: int, athletes: int = 600, days: int = 150) -> Truth:
    rng = np.random.default_rng((seed, 2))
    n, t = athletes, days
    plan, rock = _plan(rng, n, t)
    done = _done(rng, plan)
    dose_plan, took = _courses(rng, n, t)
    responds = rng.random(n) > 0.18
    body = _bodies(rng, n, responds)
    state, seen, unsound, found = _first(body, n), [], np.zeros((n, t), dtype=np.bool_), list[Damage]()
    for day in range(t):
        seen.append(state)
        hurt = np.flatnonzero(rng.random(n) < _risk(state, done[:, day]))
        for row in hurt.tolist():
            found.append(_damage(rng, row, day, body["heals"][row]))
            unsound[row, day + 1 : int(np.ceil(found[-1].sound))] = True
        state = _tomorrow(rng, body, state, done[:, day] * np.where(rock[:, day], 1.4, 1.0), took[:, day], day)
    states = {name: np.stack([one[name] for one in seen], axis=-1) for name in seen[0]}
    p_skin = holds(body, states, 1)
    skin = rng.random(p_skin.shape) > p_skin
    answered = _spells(rng, n, t)
    return Truth(
        plan_min=plan, done_min=done, rock=rock, logged=rng.random((n, t)) > 0.25, planned_dose=dose_plan, took=took,
        noted=(rng.random((n, t)) > 0.15) & (rng.random((n, 1)) > 0.2), answered=answered,
        reserve=_told(rng, states["outer"] + states["inner"]), dampness=_told(rng, states["damp"]),
        limited_by_skin=skin, limited=skin | unsound, p_skin=p_skin, responds=responds, damage=tuple(found),
        looked=rng.random((n, t)) < 0.5, hidden=Hidden(body, states),
    )  # fmt: skip


def _plan(rng: np.random.Generator, n: int, t: int) -> tuple[Floats, Flags]:
    """Fixed days of the week, two or three weeks of work and an easy one."""
    training = rng.random((n, 7)) < rng.uniform(0.4, 0.75, (n, 1))
    easy = (np.arange(t)[None, :] // 7 + rng.integers(0, 4, (n, 1))) % rng.integers(3, 5, (n, 1)) == 0
    base = rng.uniform(60, 140, (n, 1)) * np.where(easy, 0.5, 1.0) * rng.uniform(0.7, 1.3, (n, t))
    return np.round(base * training[:, np.arange(t) % 7]), (rng.random((n, t)) < 0.2) & (np.arange(t) % 7 == 6)


def _done(rng: np.random.Generator, plan: Floats) -> Floats:
    return np.asarray(plan * (rng.random(plan.shape) > 0.12) * rng.triangular(0.5, 0.95, 1.3, plan.shape))


def _courses(rng: np.random.Generator, n: int, t: int) -> tuple[Flags, Flags]:
    cycle = (np.arange(t)[None, :] + rng.integers(0, 40, (n, 1))) % rng.integers(28, 50, (n, 1))
    planned = (cycle < rng.integers(12, 22, (n, 1))) & (rng.random((n, 1)) < 0.55)
    return planned, planned & (rng.random((n, t)) < 0.9)


def _bodies(rng: np.random.Generator, n: int, responds: Flags) -> dict[str, Floats]:
    return {
        "outer": rng.uniform(2.5, 4.5, n), "inner": rng.uniform(3.0, 5.0, n), "grows": rng.uniform(0.25, 0.6, n),
        "bears": rng.uniform(15, 45, n), "wear": 0.9 * rng.gamma(6, 1 / 6, n), "sweat": rng.normal(5.0, 1.5, n),
        "swing": rng.uniform(0.2, 1.5, n), "period": rng.uniform(9, 28, n), "phase": rng.uniform(0, 6.28, n),
        "wait": rng.integers(2, LONGEST_WAIT_D, n) * 1.0, "on": rng.uniform(0.2, 0.5, n), "off": rng.uniform(4, 14, n),
        "share": np.where(responds, rng.uniform(0.3, 0.75, n), 0.0), "low": rng.normal(3.1, 0.9, n),
        "high": rng.normal(6.6, 0.8, n), "dry": rng.normal(0.9, 0.4, n), "heals": rng.gamma(12, 1 / 12, n),
    }  # fmt: skip


def _first(body: Mapping[str, Floats], n: int) -> dict[str, Floats]:
    wet = body["sweat"].copy()
    return {"outer": 0.7 * body["outer"], "inner": body["inner"].copy(), "jump": np.zeros(n), "effect": np.zeros(n),
            "taken": np.zeros((n, LONGEST_WAIT_D)), "damp": np.clip(wet, 0, 10)}  # fmt: skip


def _tomorrow(
    rng: np.random.Generator, b: Mapping[str, Floats], s: Mapping[str, Floats], minutes: Floats, took: Flags, day: int
) -> dict[str, Floats]:
    shape = s["outer"].shape
    wear = b["wear"] * np.maximum(minutes - b["bears"], 0) / 60 * rng.uniform(0.6, 1.4, shape)
    outer = s["outer"] - wear
    through = np.maximum(-outer, 0)
    inner = np.clip(s["inner"] - 0.5 * through + 0.5 * b["grows"] * rng.uniform(0, 2, shape), 0, b["inner"])
    outer = np.clip(np.maximum(outer, 0) + b["grows"] * rng.uniform(0.5, 1.5, shape), 0, b["outer"])
    kicked = rng.random(shape) < 0.15
    jump = 0.8 * s["jump"] + np.where(kicked, rng.uniform(-2, 2, shape), rng.uniform(-0.4, 0.4, shape))
    taken = np.concatenate([(took * np.ones(shape))[..., None], s["taken"][..., :-1]], axis=-1)
    late = np.take_along_axis(taken, np.broadcast_to(b["wait"].astype(int)[:, None], (*shape, 1)), axis=-1)[..., 0]
    effect = np.where(late > 0, s["effect"] + b["on"] * (1 - s["effect"]), s["effect"] * (1 - 1 / b["off"]))
    tide = b["swing"] * np.sin(2 * np.pi * (day + 1) / b["period"] + b["phase"])
    damp = np.clip((b["sweat"] + tide + jump) * (1 - b["share"] * effect), 0, 10)
    return {"outer": outer, "inner": inner, "jump": jump, "effect": effect, "taken": taken, "damp": damp}


def holds(b: Mapping[str, Floats], s: Mapping[str, Floats], after: int = 0) -> Floats:
    """The worst of three conditions decides, by a logistic law; `after` axes follow that of the athletes."""
    own = {name: b[name].reshape(-1, *[1] * after) for name in ("low", "high", "dry")}
    worst = np.minimum(s["outer"] + s["inner"] - own["low"], own["high"] - s["damp"])
    return np.asarray(1 / (1 + np.exp(-2.2 * np.minimum(worst, s["damp"] - own["dry"]))))


def _risk(s: Mapping[str, Floats], minutes: Floats) -> Floats:
    return np.where(minutes > 0, 0.004 + 0.02 * (s["outer"] < 0.5) + 0.01 * (s["damp"] < 2.5), 0.0)


def _damage(rng: np.random.Generator, row: int, day: int, pace: float) -> Damage:
    deep, crease = bool(rng.random() < 0.35), bool(rng.random() < 0.3)
    sound = day + pace * _mean(deep, crease) * rng.gamma(9, 1 / 9)
    kind = "split" if crease or rng.random() < 0.6 else "flapper"
    site = "L-ring-middle-crease" if crease else "L-ring-tip"
    return Damage(row, day, kind, deep, site, day + 0.4 * (sound - day), sound)


def _mean(deep: bool, crease: bool) -> float:
    return (11.0 if deep else 5.5) * (1.4 if crease else 1.0)


def _spells(rng: np.random.Generator, n: int, t: int) -> Flags:
    """Answers come in spells: most mornings for some weeks, hardly any for some days."""
    on, out = rng.random(n) < 0.7, np.zeros((n, t), dtype=np.bool_)
    for day in range(t):
        on = np.where(on, rng.random(n) > 0.05, rng.random(n) < 0.12)
        out[:, day] = rng.random(n) < np.where(on, 0.85, 0.08)
    return out


def _told(rng: np.random.Generator, level: Floats) -> np.ndarray:
    """Five answers, at cuts of each athlete's own."""
    cuts = np.sort(np.array([2.0, 4.0, 6.0, 8.0]) + rng.normal(0, 0.8, (level.shape[0], 4)), axis=1)
    felt = level + rng.logistic(0, 0.4, level.shape)
    return STEPS[(felt[:, :, None] > cuts[:, None, :]).sum(axis=2)].astype(np.int64)


def best(truth: Truth, at: int, ahead: int, draws: int = 60, seed: int = 0) -> tuple[Floats, Floats]:
    """Chance that nothing limits, and that skin alone does not, all but the future known; (N,) each."""
    rng, known, n = np.random.default_rng((seed, at, ahead)), truth.hidden, truth.plan_min.shape[0]
    state = {name: np.repeat(v[None, ..., at], draws, axis=0) for name, v in known.states.items()}
    unsound = np.zeros((draws, n), dtype=np.bool_)
    for d in truth.damage:
        if d.day < at and np.ceil(d.sound) > at:
            mean = known.body["heals"][d.athlete] * _mean(d.deep, "crease" in d.site)
            whole = mean * rng.gamma(9, 1 / 9, 4000)
            left = whole[np.ceil(d.day + whole) > at]
            late = np.mean(np.ceil(d.day + left) > at + ahead) if left.size else 1.0
            unsound[:, d.athlete] |= rng.random(draws) < late
    for day in range(at, at + ahead):
        minutes = _done(rng, np.broadcast_to(truth.plan_min[:, day], (draws, n)))
        hurt = rng.random((draws, n)) < _risk(state, minutes)
        deep, crease = rng.random((draws, n)) < 0.35, rng.random((draws, n)) < 0.3
        lasts = known.body["heals"] * np.where(deep, 11.0, 5.5) * np.where(crease, 1.4, 1.0)
        unsound |= hurt & (np.ceil(day + lasts * rng.gamma(9, 1 / 9, (draws, n))) > at + ahead)
        took = truth.planned_dose[:, day] & (rng.random((draws, n)) < 0.9)
        state = _tomorrow(rng, known.body, state, minutes * np.where(truth.rock[:, day], 1.4, 1.0), took, day)
    chance = holds(known.body, state)
    return np.mean(chance * ~unsound, axis=0), np.mean(chance, axis=0)
