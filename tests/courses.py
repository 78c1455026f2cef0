"""Courses, damage and entries for tests of science: calm defaults, so that a test says only what matters."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from coaching.science.inputs import INGREDIENTS, KINDS, PLACES, STAGES, Course, Episodes, Finished, Floats, Targets

DAYS, ORIGIN = 60, 40


def calm(athletes: int = 1, days: int = DAYS, origin: int = ORIGIN, **changed: Any) -> Course:
    """Nobody has said anything; every day is planned at half a unit of load and without agent."""
    empty = np.full((athletes, days), np.nan)
    nothing = np.zeros((athletes, days, len(INGREDIENTS)))
    course = Course(
        first_ordinal=739000, origin=origin, reserve_pt=empty, dampness_pt=empty, hardness_pt=empty,
        half_step_pt=np.full((athletes, days), 0.5), limited=empty, load_done_slu=empty,
        load_plan_slu=np.full((athletes, days), 0.5), load_trip_slu=empty, strain_done_au=empty,
        dose_done=nothing * np.nan, dose_plan=nothing, filed_done=empty, moist_done=empty, temp_c=empty, rh_pct=empty,
        answered=np.zeros((athletes, days), dtype=bool),
    )  # fmt: skip
    return replace(course, **changed)


def told(rng: np.random.Generator, athletes: int = 6, days: int = DAYS, origin: int = ORIGIN) -> Course:
    """Athletes who answered on six days of ten, logged most loads, and a third of whom took an agent."""
    past = np.arange(days) <= origin
    answered = (rng.random((athletes, days)) < 0.6) & past
    load = np.where(rng.random((athletes, days)) < 0.5, rng.gamma(2.0, 0.7, (athletes, days)), 0.0)
    dose = np.zeros((athletes, days, len(INGREDIENTS)))
    dose[: athletes // 3, 15:, 0] = 0.5

    def rating(middle: float) -> Floats:
        own = middle + rng.normal(0, 1.2, (athletes, 1)) + rng.normal(0, 1.2, (athletes, days))
        return np.where(answered, np.clip(np.round(own), 0, 10), np.nan)

    logged = past & (rng.random((athletes, days)) < 0.8)
    return calm(
        athletes, days, origin, reserve_pt=rating(6.0), dampness_pt=rating(5.0), hardness_pt=rating(4.5),
        limited=np.where(answered & (load > 0), (rng.random((athletes, days)) < 0.3) * 1.0, np.nan),
        load_done_slu=np.where(logged, load, np.nan), load_plan_slu=load,
        dose_done=np.where(logged[:, :, None], dose, np.nan), dose_plan=dose, answered=answered,
    )  # fmt: skip


def rows(course: Course, index: Any) -> Course:
    """Some athletes of a course, in that order."""
    return replace(course, **{k: v[index] for k, v in vars(course).items() if isinstance(v, np.ndarray)})


def damage(kind: str = "split", place: str = "crease", **said: Any) -> Episodes:
    """One episode of the first athlete, by the columns of its days."""
    noticed = said.get("noticed", ORIGIN)
    looked = said.get("looked", noticed)
    stage = STAGES.index(said["stage"]) if "stage" in said else -1

    def number(name: str, otherwise: float = np.nan) -> Floats:
        return np.array([said.get(name, otherwise)], dtype=np.float64)

    return Episodes(
        athlete=np.array([0]), kind=np.array([KINDS.index(kind)]), place=np.array([PLACES.index(place)]),
        deep=number("deep"), noticed=np.array([noticed]), looked=np.array([looked]), stage=np.array([stage]),
        stage_since=np.array([said.get("since", looked)]), shut_after=np.array([said.get("before", noticed)]),
        shut_by=np.array([said.get("since", looked)]), pain=number("pain"), opens=number("opens"),
        balm_share=number("balm_share"), tried=np.array([said.get("tried", False)]), taped=number("taped"),
        begun=np.array([said.get("begun", noticed)]), reopened=np.array([said.get("reopened", 0)]),
        closed_d=np.array([said.get("closed_d", 0)]),
    )  # fmt: skip


def joined(*episodes: Episodes) -> Episodes:
    """Several episodes as one batch, and what each of them has finished."""
    of = [e.finished for e in episodes]
    finished = Finished(**{k: np.concatenate([vars(f)[k] for f in of]) for k in vars(of[0])})
    own = (k for k in vars(episodes[0]) if k != "finished")
    return Episodes(**{k: np.concatenate([vars(e)[k] for e in episodes]) for k in own}, finished=finished)


def unhurt() -> Episodes:
    return rows_of(damage(), np.zeros(0, dtype=np.int64))


def rows_of(episodes: Episodes, index: Any) -> Episodes:
    return episodes.rows(index)


def entered(
    first: int, last: int, *, trip: bool = False, athletes: int = 1, weight: Floats | None = None
) -> Targets:
    """One entry of every athlete, all for the same days."""
    ones = np.ones(athletes, dtype=np.int64)
    matters = np.zeros((athletes, 0)) if weight is None else weight
    return Targets(np.arange(athletes), first * ones, last * ones, np.full(athletes, trip), matters)
