"""Simulated trials, read as the product reads them: `python -m tests.trials.run --count 1000` prints for each scene how
often an effect was claimed, how often the interval held the truth, and what was promised beforehand.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from coaching.rules.trial_questions import HANDS_SD, PRIOR_SD, grain
from coaching.rules.trial_verdict import NOT, OPEN, WORKS, WORSE, verdict
from coaching.science import versions
from coaching.science.trial_orders import draw
from coaching.science.trial_plan import Blocks, expected_contrast, told
from coaching.science.trial_power import Exposure, pair_sd, power
from coaching.science.trial_reading import Dosing, read_trial
from coaching.science.trial_shrink import Prior
from tests.trials.athletes import PAST_DAYS, Scene, answers, in_force

P = versions.get("2026.5").parameters
WORTH = 1.0
PRIOR = Prior(-2.0, 1.5, 1.1)
SCENES = (
    Scene("nothing works", 0.0),
    Scene("nothing works, skin drifts 3 points", 0.0, trend=3.0),
    Scene("nothing works, hand against hand", 0.0, hands=True),
    Scene("works by 2.5, all uses kept", -2.5, missed=0.0),
    Scene("works by 2.5, 30 % missed, lingers", -2.5),
    Scene("works by 2.5, 30 % missed, lingers, 8 pairs", -2.5, pairs=8),
    Scene("the same, skin that takes it up faster than thought", -2.5, pairs=8, dose=0.375),
    Scene("the same, skin that takes it up slower than thought", -2.5, pairs=8, dose=1.0),
    Scene("works by 1.5 hand against hand, 30 % missed", -1.5, hands=True),
    Scene("aluminium by 2, 30 % missed", -2.0, "aluminium", skip=4, onset=2.0, washout=3.0),
    Scene("cream adds 1.5, 30 % missed", 1.5, "", skip=1, read=6, onset=0.7, washout=1.0),
)  # fmt: skip
ALUMINIUM = next(scene for scene in SCENES if scene.ingredient == "aluminium")


@dataclass(frozen=True)
class Tried:
    """One trial: what was said and what was true."""

    code: str
    held: float  # 1 the interval holds the athlete's effect, 0 not; a half where the effect is one of its ends
    promised: float
    effect: float
    mean: float
    before_after: float  # what a look at the week before and the week after the start would have shown


def one(rng: np.random.Generator, scene: Scene) -> Tried:
    """An athlete's past, the draw, the trial and its reading."""
    past = answers(rng, scene, np.zeros((2, PAST_DAYS)))
    span = scene.block
    starts = tuple(range(0, scene.days, span))
    blocks = Blocks(starts, scene.skip, scene.read, scene.hands)
    dosing = Dosing(scene.ingredient, scene.dose, 1, scene.washout)
    order = draw(scene.pairs, int(rng.integers(2**32)))
    frame = told(blocks, order, 1, np.zeros((2, blocks.days)), np.zeros((2, blocks.days)))
    missed = rng.random(blocks.days) < scene.missed
    taken = np.where(frame.due & ~missed, 1.0, 0.0)
    force = in_force(rng, scene, taken)
    logged = np.where(rng.random(blocks.days) < 0.05, np.nan, taken)
    daily = answers(rng, scene, force)
    sd = HANDS_SD["dampness"] if scene.hands else pair_sd(past[0], scene.read, span, PRIOR_SD["dampness"])
    contrast = _contrast(blocks, dosing, scene.missed)
    reading = read_trial(told(blocks, order, 1, daily, logged), dosing, sd, PRIOR, P)
    said = verdict(reading, "dampness", True, sd).code
    found = reading.found
    held = 0.0 if found is None else float(np.clip(_inside(scene.effect, found.low, found.high), 0, 1))
    first = slice(1, 8)
    return Tried(said, held, power(scene.effect, scene.pairs, sd, contrast), scene.effect, reading.mean,
                 float(np.nanmean(daily[0, first]) - np.nanmean(past[0, -7:])))  # fmt: skip


def _inside(value: float, low: float, high: float) -> float:
    return 1.0 - sum(0.5 if abs(past) < 1e-9 else float(past > 0) for past in (low - value, value - high))


@cache
def _contrast(blocks: Blocks, dosing: Dosing, missed: float) -> Exposure:
    return replace(expected_contrast(blocks, dosing, P, 1.0 - missed), grain=grain("dampness"))


def figures(scene: Scene, count: int, seed: int) -> dict[str, float]:
    """Shares over `count` trials of a scene."""
    rng = np.random.default_rng([seed, *scene.name.encode()])
    tried = [one(rng, scene) for _ in range(count)]
    wanted = WORKS if scene.effect <= 0 else WORSE
    claims = [t.code in (WORKS, WORSE) for t in tried]
    return {
        "claims": float(np.mean(claims)),
        "right": float(np.mean([t.code == wanted for t in tried])) if scene.effect else 0.0,
        "wrong": float(np.mean([_wrong(t) for t in tried])),
        "held": float(np.mean([t.held for t in tried])),
        "promised": float(np.mean([t.promised for t in tried])),
        "open": float(np.mean([t.code == OPEN for t in tried])),
    }


def _wrong(t: Tried) -> bool:
    """A claim against the truth: an effect where there is none, the other way round, or none where one is worth it."""
    if t.code in (WORKS, WORSE):
        return not t.effect or (t.effect < 0) != (t.code == WORKS)
    return t.code == NOT and t.effect <= -WORTH


def losses(count: int, seed: int) -> dict[str, float]:
    """Points lost by each athlete for going by something: use where it does harm or nothing, none where it helps.

    Effects differ from athlete to athlete, one in eight has none; using it costs half a point. A habit judges by the
    week before and the week after, begun in a damp week as people do; a trial that could not tell leaves the habit's
    own choice as it was.
    """
    rng, lost = np.random.default_rng([seed, 7]), {"trial": 0.0, "habit": 0.0, "wrong claims": 0.0, "their habit": 0.0}
    for _ in range(count):
        effect = 0.0 if rng.random() < 1 / 8 else float(rng.normal(-1.2, 1.3))
        t = one(rng, replace(ALUMINIUM, effect=effect))
        worth = -effect - 0.5  # gain of using it for a day
        habit = t.before_after < -0.5
        use = {WORKS: True, WORSE: False, NOT: False}.get(t.code, habit)
        for name, choice in (("trial", use), ("habit", habit)):
            lost[name] += max(worth, 0.0) - (worth if choice else 0.0)
        if t.code in (WORKS, WORSE, NOT):
            lost["wrong claims"] += max(worth, 0.0) - (worth if use else 0.0)
            lost["their habit"] += max(worth, 0.0) - (worth if habit else 0.0)
    return {name: total / count for name, total in lost.items()}


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--scene", default="", help="only scenes whose name holds this")
    chosen = parser.parse_args()
    for scene in (one for one in SCENES if chosen.scene in one.name):
        found = figures(scene, chosen.count, chosen.seed)
        print(f"{scene.name:52}", *(f"{name} {100 * value:5.1f}" for name, value in found.items()), flush=True)
    print("points lost a day:", *(f"{name} {value:.3f}" for name, value in losses(chosen.count, chosen.seed).items()))
    return 0


if __name__ == "__main__":
    sys.exit(main())
