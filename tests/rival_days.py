"""Made-up days of six athletes, told twice: the second time everything after one evening is otherwise."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import numpy as np

from coaching.science.inputs import Floats
from coaching.usecases.right_arrays import Days, Kept

PEOPLE, LENGTH, EVENING = 6, 90, 70


def past_and_future(rivals: Callable[[Kept, Days], dict[str, Floats]]) -> dict[str, tuple[Floats, Floats]]:
    """What each rival says on the evening, before and after the future was changed."""
    rng = np.random.default_rng(4)
    shape = (PEOPLE, LENGTH)
    limited = np.where(rng.random(shape) < 0.5, (rng.random(shape) < 0.4) * 1.0, np.nan)
    days = Days(
        date(2027, 1, 1),
        {n: n for n in range(PEOPLE)},
        np.rint(rng.uniform(2, 9, shape)),
        np.rint(rng.uniform(0, 9, shape)),
        (rng.random(shape) < 0.2) * 1.0,
        limited,
        ~np.isnan(limited),
        rng.uniform(0, 2, shape),
        np.zeros(shape, dtype=bool),
    )
    later = {name: getattr(days, name).copy() for name in ("reserve_pt", "dampness_pt", "agent", "limited")}
    for values in later.values():
        values[:, EVENING + 1 :] = 1.0
    who = np.arange(PEOPLE)
    made = np.full(PEOPLE, EVENING)
    kept = Kept(
        who, made, made + 7, made + 7, np.zeros(PEOPLE, dtype=bool), np.full(PEOPLE, 0.5), np.zeros((2, 7, PEOPLE))
    )
    first, second = rivals(kept, days), rivals(kept, replace(days, **later))
    assert all(np.all(~np.isnan(said)) for said in first.values())
    return {name: (first[name], second[name]) for name in first}
