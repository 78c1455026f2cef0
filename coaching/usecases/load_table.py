"""A week of load beside the athlete's own weeks, from the days that a page draws anyway. No bands of risk."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from coaching.science import load, load_compared
from coaching.science.inputs import Floats
from coaching.usecases.shown import PictureShown

SHORT_D, LONG_D = 7.0, 28.0
WEEK = 7


@dataclass(frozen=True)
class LoadTable:
    """Skin load; None not known. `strain` is load x monotony (Foster); `ratio` the week over the three before it."""

    short_slu: float | None  # mean day, half-life SHORT_D
    long_slu: float | None  # mean day, half-life LONG_D
    strain_slu: float | None
    why_no_strain: str  # code of `load.MONOTONY_REASONS`, empty where there is one
    ratio: float | None
    unknown_days: int  # of the last 28
    bars: tuple[tuple[date, float | None], ...]  # the last seven days


def load_table(picture: PictureShown, as_of: date) -> LoadTable | None:
    """None where no day is drawn. Days before the picture's first, eight weeks back, count for nothing."""
    past = [one for one in picture.load if one.day <= as_of]
    if len(past) < WEEK:
        return None
    days: Floats = np.array([[np.nan if one.done_slu is None else one.done_slu for one in past]])
    week = days[:, -WEEK:]
    monotony = load.monotony(week)
    return LoadTable(
        short_slu=_known(load.observed_mean(days, SHORT_D)[0, -1]),
        long_slu=_known(load.observed_mean(days, LONG_D)[0, -1]),
        strain_slu=_known(load_compared.load_times_monotony(week)[0]),
        why_no_strain="" if not monotony.reason[0] else load.MONOTONY_REASONS[int(monotony.reason[0])],
        ratio=_known(load_compared.uncoupled_ratio(days)[0, -1]),
        unknown_days=int(np.isnan(days[0, -4 * WEEK :]).sum()),
        bars=tuple((one.day, one.done_slu) for one in past[-WEEK:]),
    )


def _known(value: float) -> float | None:
    return None if np.isnan(value) else float(value)
