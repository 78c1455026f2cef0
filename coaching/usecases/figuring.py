"""Run the models over a batch and hand each athlete's share to the rules: arrays in, frozen values out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from athletes.records.histories_arrays import Arrays, arrays
from coaching.rules.facts import AthleteFacts
from coaching.rules.numbers import AthleteNumbers, EntryNumbers, EpisodeNumbers, Quartet
from coaching.science import load
from coaching.science.inputs import INGREDIENTS, Floats
from coaching.science.model import Model
from coaching.science.outputs import Chance, EntryChance, Estimate, Healing
from coaching.usecases.past_damage import past_factors
from coaching.usecases.picturing import DayFigures
from coaching.usecases.shown import CourseDay


@dataclass(frozen=True)
class _Run:
    """Everything the models said of one batch."""

    arrays: Arrays
    estimate: Estimate
    healing: Healing
    chance: Chance
    entries: EntryChance
    as_of: date
    ahead_days: int

    def days_of(self, row: int) -> int:
        """Days of the course that are the athlete's own: as far ahead as for all, or to their last event.

        The grid is as long as the furthest event of the batch asks; that must not show in others' figures.
        """
        own = self.arrays.targets.last[self.arrays.targets.athlete == row]
        return int(own.max(initial=self.arrays.course.origin + self.ahead_days)) + 1


def figures(
    facts: Sequence[AthleteFacts], as_of: date, model: Model, span: tuple[int, int]
) -> list[tuple[AthleteNumbers, DayFigures]]:
    """Numbers and daily figures of each athlete, in the order given."""
    past_days, ahead_days = span
    last = max((entry.last_day for one in facts for entry in one.entries), default=as_of)
    made = arrays(facts, as_of, past_days=past_days, ahead_days=max(ahead_days, (last - as_of).days))
    course, episodes = made.course, made.episodes
    estimate, state = model.filter(course)
    run = _Run(
        arrays=made,
        estimate=estimate,
        healing=model.heal(course, episodes, course.days - course.origin),
        chance=model.chance(course, episodes, state=state),
        entries=model.entries(course, episodes, made.targets, state=state),
        as_of=as_of,
        ahead_days=ahead_days,
    )
    first, share = date.fromordinal(course.first_ordinal), model.parameters["taped_share"]
    past = [past_factors(one, first, course.origin, share) for one in facts]
    return [(_numbers(run, row), _days(run, row, past[row])) for row in range(len(facts))]


def _numbers(run: _Run, row: int) -> AthleteNumbers:
    course, at, estimate = run.arrays.course, run.arrays.course.origin, run.estimate
    past = course.load_done_slu[row, : at + 1]
    week = load.seven_day_sum(past[np.newaxis, :])
    monotony = load.monotony(past[np.newaxis, -7:])
    ahead = course.load_plan_slu[row, at + 1 : at + 8]
    return AthleteNumbers(
        reserve_mean_pt=float(estimate.reserve_mean_pt[row, at]),
        reserve_sd_pt=float(estimate.reserve_sd_pt[row, at]),
        usual_reserve_pt=float(estimate.usual_reserve_pt[row]),
        dampness_mean_pt=float(estimate.dampness_mean_pt[row, at]),
        dampness_sd_pt=float(estimate.dampness_sd_pt[row, at]),
        hardness_mean_pt=float(estimate.hardness_mean_pt[row, at]),
        load_7d_slu=float(np.nan_to_num(week.sum_slu[0, -1])),
        load_7d_unknown_days=int(week.unknown_days[0, -1]),
        load_7d_percentile=_known(load.own_percentile(week)[0]),
        load_ahead_7d_slu=float(np.nansum(ahead)),
        monotony=_known(monotony.value[0]),
        agent_effect_frac={
            name: float(estimate.agent_effect_frac[row, at, k]) for k, name in enumerate(INGREDIENTS)
        },
        episodes={n.episode_id: n for n in _episodes(run, row)},
        entries={n.event_id: n for n in _entries(run, row)},
    )


def _known(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def _episodes(run: _Run, row: int) -> list[EpisodeNumbers]:
    found = []
    for e in np.flatnonzero(run.arrays.episodes.athlete == row):
        ahead = min(run.healing.p_sound.shape[1], run.days_of(row) - run.arrays.course.origin)
        days = [run.as_of + timedelta(days=h) for h in range(ahead)]
        found.append(
            EpisodeNumbers(
                episode_id=run.arrays.episode_ids[e],
                closed=_quartet(run.healing.closed_days[e]),
                usable=_quartet(run.healing.usable_days[e]),
                sound=_quartet(run.healing.sound_days[e]),
                p_usable_by_day=dict(zip(days, run.healing.p_usable[e, :ahead].tolist(), strict=True)),
                p_sound_by_day=dict(zip(days, run.healing.p_sound[e, :ahead].tolist(), strict=True)),
            )
        )
    return found


def _quartet(points: Floats) -> Quartet:
    return Quartet(*(None if math.isinf(p) else float(p) for p in points))


def _entries(run: _Run, row: int) -> list[EntryNumbers]:
    e, targets = run.entries, run.arrays.targets
    found = []
    for m in np.flatnonzero(targets.athlete == row):
        good = None
        if targets.trip[m]:
            good = (int(e.good_of[m]), float(e.good_p50[m]), float(e.good_low[m]), float(e.good_high[m]))
        own = np.flatnonzero(targets.weight[m] > 0)
        found.append(
            EntryNumbers(
                event_id=run.arrays.event_ids[m],
                p=float(e.p[m]),
                low=float(e.low[m]),
                high=float(e.high[m]),
                p_usual=float(e.p_usual[m]),
                p_rest=float(e.p_rest[m]),
                p_protected=float(e.p_protected[m]),
                good_days=good,
                parts={code: float(values[m]) for code, values in e.parts.items()},
                episode_parts={run.arrays.episode_ids[k]: float(e.episode_parts[m, k]) for k in own},
            )
        )
    return found


def _days(run: _Run, row: int, past: list[float]) -> DayFigures:
    course, days = run.arrays.course, run.days_of(row)
    first = date.fromordinal(course.first_ordinal)
    factors = past + [1.0] * (days - len(past))
    return DayFigures(
        first_day=first,
        done_slu=[_known(v) for v in course.load_done_slu[row, :days]],
        plan_slu=[_known(v) for v in course.load_plan_slu[row, :days]],
        course=[_day(run, row, t, first + timedelta(days=t), factors[t]) for t in range(days)],
    )


def _day(run: _Run, row: int, t: int, day: date, factor: float) -> CourseDay:
    chance, course = run.chance, run.arrays.course
    p = round(float(chance.p[row, t]) * factor, 4)
    answered = bool(course.answered[row, t])
    if t < course.origin:
        return CourseDay(day, p, None, None, None, None, answered)
    fan = (chance.low, chance.high, chance.q25, chance.q75)
    low, high, q25, q75 = (round(float(values[row, t]), 4) for values in fan)
    return CourseDay(day, p, low, high, q25, q75, answered)
