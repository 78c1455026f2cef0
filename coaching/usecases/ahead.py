"""What the models say of the days that forecasts are kept for: one and two weeks ahead, and first days of events."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from athletes.records.histories_arrays import Arrays
from coaching.science.model import Model
from coaching.science.outputs import Chance
from coaching.science.skin import State

HORIZONS_D = (7, 14)


@dataclass(frozen=True)
class DayAhead:
    """Chance of one day ahead, its range, the same without damage, and quantiles of the ratings to be reported, pt."""

    p: float
    low: float
    high: float
    p_skin: float
    reserve_pt: tuple[float, ...]
    dampness_pt: tuple[float, ...]


def days_ahead(model: Model, made: Arrays, state: State, chance: Chance) -> list[Mapping[int, DayAhead]]:
    """For each athlete of a batch, by days from the origin."""
    course, origin = made.course, made.course.origin
    firsts = np.maximum(made.targets.first, origin) - origin
    wanted = [set(HORIZONS_D) | set(firsts[made.targets.athlete == n].tolist()) for n in range(course.athletes)]
    ahead = sorted({days for own in wanted for days in own if origin + days < course.days})
    told = model.reported(course, state=state, days=np.array(ahead, dtype=np.int64) + origin)
    return [
        {
            days: DayAhead(
                *(float(part[row, origin + days]) for part in (chance.p, chance.low, chance.high, chance.p_skin)),
                tuple(told.reserve_pt[:, row, k].tolist()),
                tuple(told.dampness_pt[:, row, k].tolist()),
            )
            for k, days in enumerate(ahead)
            if days in wanted[row]
        }
        for row in range(course.athletes)
    ]
