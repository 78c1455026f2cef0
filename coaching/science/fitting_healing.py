"""What a squad's looks say of how its damage heals: times by kind, place and depth, their spread, and re-opening."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.fitting_healing_ranges import ranges_that_hold
from coaching.science.healing_history import told_by_finished, told_by_watched
from coaching.science.healing_looks import seen
from coaching.science.healing_times import CLASS_OF, CLASSES, PACES
from coaching.science.inputs import Episodes, Finished, Floats
from coaching.science.quantities import QUANTITIES, Parameters

LEAST_FINISHED = 20
"""Fewer finished episodes tell a squad's times no closer than the trade does (judgement)."""
COMMON = (
    "healing_time_factor",
    "healing_closes_factor_shallow",
    "healing_closes_factor_deep",
    "healing_spread_factor",
    "healing_spread_deep_crease_factor",
)
LOG_SDS = {
    "healing_pace_log_sd": 0.3,
    "healing_uncovered_factor": 0.1,
    "healing_deep_misread_share": 0.8,
    "healing_misread_share": 0.8,
}
"""How far the logarithm of what all members share may lie from the version's (assumption)."""
OPENINGS_KNOWN = 2.0
"""Weight of the version's hazard of opening again, in openings (judgement)."""
FORGOTTEN_D = 14
"""Damage that nobody has looked at for so long is as likely forgotten as it is slow (judgement)."""
ROUNDS = 40


def healing_fit(episodes: Episodes, origin: int, usual_slu: Floats, p: Parameters) -> dict[str, float]:
    """Return what a squad's looks say of its shared times.

    Parameters: episodes (with all that are finished); origin (column); usual_slu (N,), usual load of a day of each
        athlete; p (to begin with, and to shrink to).
    Returns: changed values by name; none where too few episodes are finished, or in versions that do not ask them.
    Raises: nothing.
    Assumes: members differ in one pace each; classes differ from the trade's by factors that are alike.
    Source: penalised likelihood of interval-censored times (Turnbull 1976), paces summed out, then `ranges_that_hold`;
        tests/unit/test_fitting_healing.py.
    """
    from scipy.optimize import minimize

    if p["healing_own_history"] <= 0.0 or episodes.finished.athlete.shape[0] < LEAST_FINISHED:
        return {}
    episodes = episodes.rows(np.flatnonzero(episodes.looked > origin - FORGOTTEN_D))
    begun = replace(episodes, noticed=episodes.begun)
    names = [*COMMON, *(f"healing_factor_{name}" for name in _there(episodes.finished)), *LOG_SDS]
    middle = np.log(np.array([p[name] for name in names]))
    spread = np.array([LOG_SDS[name] if name in LOG_SDS else p.spread(name) for name in names])

    def loss(scores: Floats) -> float:
        tried = p.changed(**_inside(names, np.exp(middle + spread * scores)))
        return 0.5 * float(np.sum(scores**2)) - _log_likelihood(begun, origin, tried)

    found = minimize(loss, np.zeros(len(names)), method="L-BFGS-B", options={"maxiter": ROUNDS, "ftol": 1e-7})
    learned = _inside(names, np.round(np.exp(middle + spread * found.x), 6))
    learned |= {"healing_reopens_per_slu": _opens(episodes, usual_slu, p)}
    return learned | ranges_that_hold(episodes, origin, usual_slu, p.changed(**learned))


def _there(finished: Finished) -> list[str]:
    """Classes of which some damage is finished, in the order of the table."""
    deep = np.where(finished.deep > 0.5, 1, 0)
    found = set(CLASS_OF[finished.kind, finished.place, deep].tolist())
    return [name for k, name in enumerate(CLASSES) if k in found]


def _inside(names: list[str], values: Floats) -> dict[str, float]:
    kept = zip(names, values.tolist(), strict=True)
    return {n: float(min(max(v, QUANTITIES[n].low), QUANTITIES[n].high)) for n, v in kept}


def _log_likelihood(episodes: Episodes, origin: int, p: Parameters) -> float:
    """Of all looks, each athlete's pace summed out."""
    over, watched = episodes.finished, told_by_watched(seen(episodes, origin), episodes, p)
    last = int(max(over.athlete.max(initial=-1), episodes.athlete.max(initial=-1)))
    total = np.zeros((last + 1, PACES))
    np.add.at(total, over.athlete, told_by_finished(over, p).T)
    np.add.at(total, episodes.athlete, watched.T)
    top = total.max(axis=1, keepdims=True)
    mean = ordered_sum(np.exp(total - top).T) / PACES
    return float(np.sum(top[:, 0] + np.log(mean)))


def _opens(episodes: Episodes, usual_slu: Floats, p: Parameters) -> float:
    """Openings seen over the load that closed damage bore between looks, drawn to the version's hazard."""
    of: tuple[Mapping[str, Floats], ...] = (vars(episodes), vars(episodes.finished))
    seen_open = sum(float(np.sum(one["reopened"])) for one in of)
    borne = sum(float(np.sum(one["closed_d"] * usual_slu[one["athlete"].astype(int)])) for one in of)
    rate = (seen_open + OPENINGS_KNOWN) / (borne + OPENINGS_KNOWN / p["healing_reopens_per_slu"])
    return _inside(["healing_reopens_per_slu"], np.array([round(rate, 6)]))["healing_reopens_per_slu"]
