"""How wide ranges of healing must be, and where their middle lies, so that they hold for what a squad has seen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.healing import slices
from coaching.science.healing_times import PACES
from coaching.science.inputs import KINDS, Episodes, Floats, Ints
from coaching.science.quantities import QUANTITIES, Parameters

SETTLED_D = 28
"""Damage noticed later than so many days ago is left out, or what heals soonest would count most (judgement)."""
LOW, MIDDLE, HIGH = 0.1, 0.5, 0.9
HELD = 0.78
"""Share of times that an 80 % range must hold: looks are misread now and then, and no range should reach for those
(judgement: one look in fifty ends an episode wrongly)."""
BELIEVED = 100
"""Weight of what was learned before, in episodes: fewer tell the ends of a range no closer (judgement)."""
STEPS = 5
AHEAD_D = 40
"""What takes longer lies beyond every range of the trade, wherever it ends."""
MOST = 1000
"""Episodes asked; more are spread over evenly."""
AT_ONCE = 64
"""Episodes forecast together: few enough for a processor's own memory, and no number depends on it."""
FURTHEST = 1.3
"""The middle is moved no further than by this factor; more is for the likelihood to say (judgement)."""


def ranges_that_hold(episodes: Episodes, origin: int, usual_slu: Floats, p: Parameters) -> dict[str, float]:
    """Return the time factor and the spread factor under which day-0 ranges of a squad's damage hold.

    Parameters: episodes (E, with all that are finished); origin (column); usual_slu (N,), usual load of a day of each
        athlete; p, with all else that was learned.
    Returns: changed values by name; none where nothing has settled.
    Raises: nothing.
    Assumes: times lie anywhere between the looks around them as forecast; paces are as likely as for strangers.
    Source: probability integral transform of interval-censored times, not randomised (Czado, Gneiting & Held 2009);
        bisection as for the ranges of ratings; tests/unit/test_fitting_healing.py.
    """
    fresh, after_d, by_d = _settled(episodes, origin)
    if not fresh.athlete.size:
        return {}
    parts = [np.arange(n, min(n + AT_ONCE, after_d.size)) for n in range(0, after_d.size, AT_ONCE)]
    load = np.repeat(usual_slu[fresh.athlete][:, None], AHEAD_D + 1, axis=1)

    def shares(tried: Parameters) -> Floats:
        """Share of the times that lie below the low, the middle and the high level of their forecast."""
        path = np.concatenate([_path(fresh.rows(some), load[some], tried) for some in parts])
        rows = np.arange(path.shape[0])
        start, end = path[rows, after_d], np.where(by_d > AHEAD_D, 1.0, path[rows, np.minimum(by_d, AHEAD_D)])
        room = np.maximum(end - start, 1e-9)
        return np.array([np.mean(np.clip((level - start) / room, 0.0, 1.0)) for level in (LOW, MIDDLE, HIGH)])

    def middle_low(tried: Parameters) -> bool:
        """Too many times lie above the middle told."""
        return bool(shares(tried)[1] < MIDDLE)

    def too_narrow(tried: Parameters) -> bool:
        below, _, within = shares(tried)
        return bool(within - below < HELD)

    held = _bisected("healing_time_factor", p, middle_low)
    held = _bisected("healing_spread_factor", held, too_narrow)
    share = after_d.size / (after_d.size + BELIEVED)
    names = ("healing_time_factor", "healing_spread_factor")
    return {name: round(float(p[name] ** (1.0 - share) * held[name] ** share), 6) for name in names}


def _path(fresh: Episodes, load_slu: Floats, p: Parameters) -> Floats:
    return ordered_sum(slices(fresh, 0, AHEAD_D + 1, p, load_slu).sound) / PACES


def _bisected(name: str, p: Parameters, more: Callable[[Parameters], bool]) -> Parameters:
    """The value at which more of it is no longer needed, on a scale of logarithms."""
    quantity = QUANTITIES[name]
    low, high = max(quantity.low, p[name] / FURTHEST), min(quantity.high, p[name] * FURTHEST)
    for _ in range(STEPS):
        value = float(np.sqrt(low * high))
        low, high = (value, high) if more(p.changed(**{name: value})) else (low, value)
    return p.changed(**{name: round(float(np.sqrt(low * high)), 6)})


def _settled(episodes: Episodes, origin: int) -> tuple[Episodes, Ints, Ints]:
    """Damage as on the day it was noticed, and the days between which it was sound, the last open to the right."""
    over = episodes.finished
    old = np.flatnonzero(over.noticed <= origin - SETTLED_D)
    pink = episodes.kind == KINDS.index("pink")
    watched = np.flatnonzero((episodes.noticed <= origin - SETTLED_D) & ~pink)

    def some(name: str) -> Any:
        return np.concatenate([getattr(over, name)[old], getattr(episodes, name)[watched]])[:: -(-n // MOST)]

    n = old.size + watched.size
    if not n:
        return episodes.rows(watched), watched, watched
    after = np.concatenate([(over.sound_after - over.noticed)[old], (episodes.looked - episodes.noticed)[watched]])
    by = np.concatenate([(over.sound_by - over.noticed)[old], np.full(watched.size, AHEAD_D + 1)])
    kept = some("athlete").shape[0]
    day, unknown = np.zeros(kept, dtype=np.int64), np.full(kept, np.nan)
    fresh = Episodes(
        athlete=some("athlete"), kind=some("kind"), place=some("place"), deep=some("deep"), noticed=day, looked=day,
        stage=np.full(kept, -1), stage_since=day, shut_after=day, shut_by=day, pain=unknown, opens=unknown,
        balm_share=some("balm_share"), tried=np.zeros(kept, dtype=np.bool_), taped=unknown, begun=day, reopened=day,
        closed_d=day,
    )  # fmt: skip
    return fresh, np.clip(after, 0, AHEAD_D)[:: -(-n // MOST)], by[:: -(-n // MOST)]
