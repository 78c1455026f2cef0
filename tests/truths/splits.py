"""A squad that tears its skin often and is looked at closely: for healing alone.

What differs from the model: log-logistic stages that advance night by night, slower without balm; closed damage opens
again under the load of the very day, less of it under tape; one look in twenty-five is misread. Levels and answers are
those of `skins`, with its damage taken out.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tests.truths import skins
from tests.truths.kept import Damage, Floats, Look, Truth

SHALLOW_B, DEEP_A, DEEP_B, CREASE, BARE, OPENS, TAPED = 3.0, 3.7, 4.5, 1.22, 1.35, 0.05, 0.4
SHAPE = 0.2
LONGEST = 60


@dataclass(frozen=True)
class Hidden:
    """What no look tells: paces and habits (N,), and each episode's loads by day."""

    pace: Floats
    balms: Floats
    tapes: Floats
    load: Floats  # (N, T + LONGEST) SLU


def squad(seed: int, athletes: int = 400, days: int = 150) -> Truth:
    rng = np.random.default_rng((seed, 4))
    base = skins.squad(seed, athletes, days)
    n = athletes
    slu = base.done_min / 60 * np.where(base.rock, 1.5, 1.0)
    load = np.concatenate([slu, slu[:, :LONGEST]], axis=1)
    known = Hidden(np.exp(rng.normal(0, 0.27, n)), rng.beta(2, 2, n), rng.beta(2, 2, n), load)
    damage, looks, unsound = list[Damage](), list[Look](), np.zeros((n, days), dtype=np.bool_)
    for row in range(n):
        day = int(rng.integers(0, 30))
        while day < days:
            deep, crease = bool(rng.random() < 0.45), bool(rng.random() < 0.4)
            path, balm, taped = course(rng, known, row, day, deep, crease)
            sound = day + len(path)
            where = f"R-{('index', 'middle', 'ring')[int(rng.integers(3))]}-tip" + ("-crease" if crease else "")
            shut = day + next((k for k, stage in enumerate(path) if stage == 1), len(path))
            damage.append(Damage(row, day, "split", deep, where, float(shut), float(sound)))
            for k in range(min(len(path) + 4, days - day)):
                if rng.random() < 0.63:
                    stage = path[k] if k < len(path) else 2
                    stage = int(rng.choice([s for s in (0, 1, 2) if s != stage])) if rng.random() < 0.04 else stage
                    said = ("open", "rimmed", "sound")[stage]
                    night = balm[k] if k < len(path) else False
                    looks.append(Look(len(damage) - 1, day + k, said, bool(night), bool(k < len(path) and taped[k])))
            unsound[row, day + 1 : sound] = True
            day += int(rng.gamma(3, 12)) + 1
    return replace(
        base, damage=tuple(damage), limited=base.limited_by_skin | unsound, looks=tuple(looks), hidden=known
    )


def course(
    rng: np.random.Generator, known: Hidden, row: int, day: int, deep: bool, crease: bool
) -> tuple[list[int], list[bool], list[bool]]:
    """Stage by day (0 open, 1 closed) until sound, and whether balm and tape were on."""
    slow = known.pace[row] * (CREASE if crease else 1.0)
    stage, left = (0, slow * _time(rng, DEEP_A)) if deep else (1, slow * _time(rng, SHALLOW_B))
    path, balm, taped = list[int](), list[bool](), list[bool]()
    while len(path) < LONGEST:
        path.append(stage)
        balm.append(bool(rng.random() < known.balms[row]))
        taped.append(bool(rng.random() < known.tapes[row]))
        left -= 1.0 if balm[-1] else 1.0 / BARE
        if left <= 0 and stage == 1:
            break
        if left <= 0:
            stage, left = 1, slow * _time(rng, DEEP_B)
        load = known.load[row, day + len(path) - 1] * (TAPED if taped[-1] else 1.0)
        if stage == 1 and path[-1] == 1 and rng.random() < 1 - np.exp(-OPENS * load):
            stage, left = 0, slow * _time(rng, DEEP_A if deep else SHALLOW_B)
    return path, balm, taped


def _time(rng: np.random.Generator, median: float) -> float:
    u = rng.uniform(0.005, 0.995)
    return float(median * (u / (1 - u)) ** SHAPE)


def p_sound(truth: Truth, which: int, ahead: int, draws: int = 300) -> float:
    """Chance that damage is sound `ahead` days after it was noticed: pace, habits and all loads known."""
    d, rng = truth.damage[which], np.random.default_rng((which, ahead))
    paths = (course(rng, truth.hidden, d.athlete, d.day, d.deep, "crease" in d.site)[0] for _ in range(draws))
    return float(np.mean([len(path) <= ahead for path in paths]))
