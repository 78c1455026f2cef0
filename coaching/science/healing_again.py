"""Damage that has closed and opens again under load: its stages then begin anew."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from coaching.science.healing_looks import Seen
from coaching.science.inputs import Course, Episodes, Floats
from coaching.science.load import resolved_load_slu
from coaching.science.quantities import Parameters


def load_ahead(course: Course, episodes: Episodes, days: int, p: Parameters) -> Floats | None:
    """Return the load expected of the athlete of each episode on the days from the origin on.

    Parameters: course; episodes (E); days (H); p.
    Returns: (E, H) SLU, beyond the course the mean of the days within it; None in versions without re-opening.
    Raises: nothing.
    Assumes: the plan of the course is what happens.
    Source: as `resolved_load_slu`; tests/unit/test_healing_again.py.
    """
    if p["healing_reopens_per_slu"] <= 0.0:
        return None
    load = resolved_load_slu(course, course.load_plan_slu, p)[0][:, course.origin :]
    beyond = max(days - load.shape[1], 0)
    whole = np.concatenate([load, np.repeat(load.mean(axis=1, keepdims=True), beyond, axis=1)], axis=1)
    return np.asarray(whole[episodes.athlete, :days])


def opening_chance(episodes: Episodes, load_slu: Floats, p: Parameters) -> Floats:
    """Return the chance of each day that damage which has closed opens again.

    Parameters: episodes (E); load_slu (E, H); p.
    Returns: (E, H), 0-1.
    Raises: nothing.
    Assumes: the hazard is in proportion to load, less of it under tape; who taped at the last look goes on to.
    Source: assumption, learned from the squad's looks; tests/unit/test_healing_again.py.
    """
    share = np.where(episodes.taped > 0.5, p["healing_taped_load_share"], 1.0)[:, None]
    return np.asarray(1.0 - np.exp(-p["healing_reopens_per_slu"] * share * load_slu))


def unseen(episodes: Episodes) -> Seen:
    """Return fresh damage that nobody has looked at.

    Parameters: episodes (E).
    Returns: Seen, (E,).
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_healing_again.py.
    """
    nil, no = np.zeros(episodes.athlete.shape[0]), np.zeros(episodes.athlete.shape[0], dtype=np.bool_)
    return Seen(np.full(nil.shape, -1), no, no, nil, nil, nil, nil)


def opened_again(paths: Mapping[str, Floats], anew: Mapping[str, Floats], opens: Floats) -> dict[str, Floats]:
    """Return chances of closed, usable and sound with damage that opens again begun anew.

    Parameters: paths (closed, usable, sound; each (PACES, E, H)) without opening again; anew (the same of fresh
        damage); opens (E, H), chance by day.
    Returns: as `paths`; no more than without opening again, and never more for a greater chance on any day.
    Raises: nothing.
    Assumes: who is closed and not sound is alike whenever it closed; what opened twice opens no third time; opening
        never brings sound nearer, though a fresh wound may outpace one that lingers.
    Source: discrete-time renewal worked backwards, Cox & Miller 1965, 9; tests/unit/test_healing_again.py.
    """
    closed, sound = paths["closed"], paths["sound"]
    days = closed.shape[-1]
    fresh = np.stack([anew[name] for name in ("sound", "usable", "closed")])
    # From here on, of one that is closed and not sound on a day: the chances of each later day, in that order.
    ahead, total = np.zeros(fresh.shape), np.zeros(fresh.shape)
    ahead[1:, ..., -1] = 1.0
    for day in range(days - 1, 0, -1):
        between = np.maximum(closed[..., day] - sound[..., day - 1], 1e-12)
        ends = np.clip((sound[..., day] - sound[..., day - 1]) / between, 0.0, 1.0)[..., None]
        whole = ends + (1.0 - ends) * ahead[..., day:]
        total[..., day:] += (closed[..., day] - closed[..., day - 1])[..., None] * whole
        lost = np.maximum(whole - fresh[..., : days - day], 0.0)
        ahead[..., day:] = whole - opens[:, day - 1, None] * lost
        ahead[1:, ..., day - 1] = 1.0
    total += sound[..., :1] + (closed[..., :1] - sound[..., :1]) * ahead
    now, kept, shut = total
    usable = paths["usable"] * kept / np.maximum(closed, 1e-12)
    return {"closed": shut, "usable": np.clip(usable, now, shut), "sound": now}
