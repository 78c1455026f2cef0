"""A fixed course with damage and entries for golden outputs: made by whole-number arithmetic alone, so that no
library of random numbers can change it.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from coaching.science.inputs import INGREDIENTS, Course, Episodes, Floats, Targets
from coaching.science.model import Model
from tests.courses import calm, damage, joined, rows_of

ATHLETES, DAYS, ORIGIN = 5, 64, 45
FIRST_OF_AGENT = (0, 12, 20)
"""Column from which athletes 1, 2 and 3 are planned an agent, one ingredient each."""


def draws(salt: int, *shape: int) -> Floats:
    """Numbers in 0-1 by a linear congruence (multiplier of Park & Miller 1988), salted."""
    value, out = 7919 * (salt + 1) % 2147483647, np.empty(int(np.prod(shape)))
    for place in range(out.size):
        value = value * 48271 % 2147483647
        out[place] = value / 2147483647
    return out.reshape(shape)


def course() -> Course:
    """Five athletes: three on an agent, one who skips most days, one who never says anything."""
    shape = (ATHLETES, DAYS)
    past = np.arange(DAYS) <= ORIGIN
    answered = (draws(1, *shape) < np.array([0.9, 0.7, 0.6, 0.3, 0.0])[:, None]) & past
    load = np.where(draws(2, *shape) < 0.5, np.round(3.0 * draws(3, *shape), 2), 0.0)
    logged = (draws(4, *shape) < 0.8) & past
    dose = np.zeros((*shape, len(INGREDIENTS)))
    for row, first in enumerate(FIRST_OF_AGENT):
        dose[row, first:, row] = 0.5 + 0.25 * row

    def rating(salt: int, middle: float) -> Floats:
        said = np.round(middle + 5.0 * (draws(salt, *shape) - 0.5) + 2.0 * (draws(salt + 50, ATHLETES, 1) - 0.5))
        return np.where(answered, np.clip(said, 0, 10), np.nan)

    def seldom(salt: int, share: float) -> Floats:
        return np.where(logged, (draws(salt, *shape) < share) * 1.0, np.nan)

    return calm(
        ATHLETES, DAYS, ORIGIN, reserve_pt=rating(5, 6.0), dampness_pt=rating(6, 5.0), hardness_pt=rating(7, 4.5),
        limited=np.where(answered & (load > 0), (draws(8, *shape) < 0.3) * 1.0, np.nan),
        load_done_slu=np.where(logged, load, np.nan), load_plan_slu=load, answered=answered,
        dose_done=np.where(logged[:, :, None], dose, np.nan), dose_plan=dose, filed_done=seldom(9, 0.1),
        moist_done=seldom(10, 0.4), temp_c=np.where(draws(11, *shape) < 0.8, 12 + 14 * draws(12, *shape), np.nan),
        rh_pct=np.where(draws(13, *shape) < 0.8, 25 + 50 * draws(14, *shape), np.nan),
    )  # fmt: skip


def episodes() -> Episodes:
    """A deep split in a crease, a split half healed and a flapper of the second athlete."""
    both = joined(
        damage("split", "crease", noticed=ORIGIN - 3, looked=ORIGIN - 1, deep=1.0, stage="open", pain=4.0, opens=1.0),
        damage("split", "pad", noticed=ORIGIN - 8, looked=ORIGIN, deep=0.0, stage="rimmed", balm_share=0.6),
        damage("flapper", "pad", noticed=ORIGIN - 2),
    )
    return rows_of(Episodes(**{**vars(both), "athlete": np.array([0, 1, 1])}), np.arange(3))


def targets() -> Targets:
    """Every athlete in a competition, and the first two on a trip as well."""
    athlete = np.array([0, 1, 2, 3, 4, 0, 1])
    trip = np.array([False] * 5 + [True] * 2)
    weight = np.where(episodes().athlete[None, :] == athlete[:, None], np.array([[1.0, 0.7, 1.0]]), 0.0)
    return Targets(athlete, np.where(trip, ORIGIN + 8, ORIGIN + 6), np.where(trip, DAYS - 2, ORIGIN + 7), trip, weight)


def outputs(model: Model) -> dict[str, Any]:
    """What a model says of them, each array as nested lists; what is not known or not reached as None."""
    facts, hurt = course(), episodes()
    estimate, state = model.filter(facts)
    said = {
        "estimate": vars(estimate),
        "healing": vars(model.heal(facts, hurt, 15)),
        "chance": vars(model.chance(facts, hurt, state=state)),
        "entries": vars(model.entries(facts, hurt, targets(), state=state)),
        "reported": vars(model.reported(facts, state=state, days=np.array([ORIGIN, ORIGIN + 7, ORIGIN + 14]))),
    }
    return {name: _plain(values) for name, values in said.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {name: _plain(each) for name, each in value.items()}
    numbers = np.asarray(value, dtype=np.float64)
    return np.where(np.isfinite(numbers), numbers.astype(object), None).tolist()
