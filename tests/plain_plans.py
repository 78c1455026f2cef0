"""Forward equations of plans written out for tests: one athlete, one day at a time, and readiness read from them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from coaching.science import dampness, skin
from coaching.science.agents import resolved_dose
from coaching.science.answering import taught
from coaching.science.edited import Edits, no_edits
from coaching.science.inputs import INGREDIENTS, Course, Targets
from coaching.science.readiness import at_nodes
from coaching.science.versions import CURRENT, get
from tests.courses import DAYS, ORIGIN, entered, told, unhurt

P = get(CURRENT).parameters.changed(reserve_sanding_pt=0.3, hardness_filed_pt=0.4)
MODEL = replace(get(CURRENT), parameters=P)
ATHLETES, FIRST, LAST = 3, ORIGIN + 9, ORIGIN + 11
NOBODY = unhurt()
AHEAD = np.arange(DAYS) > ORIGIN
Means = dict[str, np.ndarray]


def course_of(seed: int) -> Course:
    rng = np.random.default_rng(seed)
    shape = (ATHLETES, DAYS)
    air = {"temp_c": 15 + 12 * rng.random(shape), "rh_pct": 20 + 60 * rng.random(shape)}
    care = {"moist_done": (rng.random(shape) < 0.3) * 1.0, "filed_done": (rng.random(shape) < 0.1) * 1.0}
    return replace(told(rng, ATHLETES), **air, **care)


def event(trip: bool = False) -> Targets:
    return entered(FIRST, LAST, athletes=ATHLETES, trip=trip)


def nothing() -> Edits:
    return no_edits(ATHLETES, DAYS, len(INGREDIENTS))


def carried(course: Course, state: skin.State, edits: Edits, row: int, **other: Any) -> Means:
    """Mean state of one athlete on every day from the origin under a plan's edits.

    `other` may be `start_pt` added to today's reserve, `load_slu` in place of the load, `dose` in place of the doses.
    """
    one = replace(course, **{k: v[[row]] for k, v in vars(course).items() if isinstance(v, np.ndarray)})
    dose = resolved_dose(one, one.dose_plan, P)
    dose = other.get("dose", np.where(AHEAD[None, :, None], np.maximum(dose, edits.dose[[row]]), dose))
    load = np.where(AHEAD, edits.load_share[row], 1.0) * state.reserve_drive.load_slu[:, row]
    load, drive = other.get("load_slu", load), dampness.drive(one, dose, P)
    moist, filed = (np.where(AHEAD, values[row], 0.0) for values in (edits.moist, edits.filed))
    done = {n: np.where(AHEAD, 0.0, getattr(course, n)[row]) for n in ("moist_done", "filed_done")}
    weight, damp_weight = np.exp(state.reserve.log_weight[:, row]), np.exp(state.dampness.log_weight[:, row])
    level, rested, wear = state.reserve.belief.mean[:, :, row]
    level = np.clip(level + other.get("start_pt", 0.0), 0, 10)
    back = 1 / (P["reserve_renewal_d"] * np.array([0.7, 1.0, 1.4]))
    damp, (hard, usual) = state.dampness.belief.mean[:, :, row].copy(), state.hardness.state[:, row]
    out = {name: np.full(DAYS, np.nan) for name in ("reserve_pt", "dampness_pt", "hardness_pt")}
    for day in range(ORIGIN, DAYS):
        effect = drive.effect[day, :, :, 0]
        middle = damp[0] + damp[1] - (effect * damp[2:].T).sum(axis=1) + drive.shift_pt[day, 0]
        middle = middle + P["dampness_moist_pt"] * moist[day - 1]
        out["reserve_pt"][day], out["hardness_pt"][day] = weight @ level, hard
        out["dampness_pt"][day] = damp_weight @ np.clip(middle, 0, 10)
        damp[0] = P["dampness_memory_frac"] * damp[0]
        level = level + back * (rested - level) - wear * load[day]
        level = np.clip(level - P["reserve_sanding_pt"] * (filed[day] + done["filed_done"][day]), 0, 10)
        both = np.array([0.3, 0.4, 0.3]) @ effect[:3]
        push = P["hardness_agent_pt"] * max(both[0], both[1])
        push += P["hardness_dry_air_pt_per_pct"] * max(P["hardness_dry_air_pct"] - course.rh_pct[row, day], 0)
        push -= P["hardness_moist_pt"] * (moist[day] + done["moist_done"][day])
        push -= P["hardness_filed_pt"] * (filed[day] + done["filed_done"][day])
        hard = np.clip(hard + (usual - hard) / P["hardness_return_d"] + push, 0, 10)
    return out


def read(course: Course, state: skin.State, row: int, means: Means) -> np.ndarray:
    """Chance at every node and day of the event under other means, the spread that of the plan."""
    panel = taught(state.panel(P), skin.told(course, state, NOBODY, P, ORIGIN + 1), P)
    one = panel.picked(np.array([row]), np.arange(FIRST, LAST + 1)[None])
    return at_nodes(one.with_means(**{n: v[None, FIRST : LAST + 1] for n, v in means.items()}), None, P)[:, 0]


def made(seed: int) -> tuple[Course, skin.State, Edits]:
    course, rng, edits = course_of(seed), np.random.default_rng(seed), nothing()
    edits.load_share[...] = rng.random(edits.load_share.shape)
    edits.dose[...] = rng.random(edits.dose.shape) * (rng.random(edits.dose.shape) < 0.3)
    edits.moist[...], edits.filed[...] = (rng.random((2, *edits.moist.shape)) < 0.3) * 1.0
    return course, MODEL.filter(course)[1], edits
