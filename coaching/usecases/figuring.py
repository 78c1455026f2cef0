"""Run the models over a batch and hand each athlete's share to the rules: arrays in, frozen values out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from athletes.records.histories_arrays import Arrays, arrays
from coaching.rules.facts import AthleteFacts
from coaching.rules.numbers import AthleteNumbers, EntryNumbers, EpisodeNumbers, Quartet
from coaching.science import load
from coaching.science.inputs import INGREDIENTS, Course, Floats, Ints
from coaching.science.model import Model
from coaching.science.outputs import Chance, EntryChance, Estimate, Healing
from coaching.usecases.ahead import days_ahead
from coaching.usecases.following import Followed
from coaching.usecases.past_damage import past_factors
from coaching.usecases.picturing import BEHIND_DAYS, DayFigures
from coaching.usecases.shown import CourseDay


@dataclass(frozen=True)
class _Loads:
    """Load of each athlete as the rules read it, (N,)."""

    week_slu: Floats
    unknown_days: Ints
    percentile: Floats
    ahead_slu: Floats
    monotony: Floats


@dataclass(frozen=True)
class _Run:
    """Everything the models said of one batch."""

    arrays: Arrays
    estimate: Estimate
    healing: Healing
    chance: Chance
    entries: EntryChance
    loads: _Loads
    as_of: date
    ahead_days: int

    @property
    def first_shown(self) -> int:
        """Column of the first day that a page can draw."""
        return _first_shown(self.arrays)

    def days_of(self, row: int) -> int:
        """Days of the course that are the athlete's own: as far ahead as for all, or to their last event.

        The grid is as long as the furthest event of the batch asks; that must not show in others' figures.
        """
        own = self.arrays.targets.last[self.arrays.targets.athlete == row]
        return int(own.max(initial=self.arrays.course.origin + self.ahead_days)) + 1


def figures(
    facts: Sequence[AthleteFacts], as_of: date, model: Model, span: tuple[int, int]
) -> list[tuple[AthleteNumbers, DayFigures]]:
    """Numbers and daily figures of each athlete, in the order given, from filters over so many days (past, ahead)."""
    past_days, ahead_days = span
    last = max((entry.last_day for one in facts for entry in one.entries), default=as_of)
    made = arrays(facts, as_of, past_days=past_days, ahead_days=max(ahead_days, (last - as_of).days))
    keys = tuple(range(len(facts)))
    return figures_of(Followed(keys, tuple(facts), made, *model.filter(made.course), as_of, model), ahead_days)


def figures_of(followed: Followed, ahead_days: int) -> list[tuple[AthleteNumbers, DayFigures]]:
    """Numbers and daily figures of each athlete whose filters have run, in their order."""
    made, model, state = followed.made, followed.model, followed.state
    course, episodes = made.course, made.episodes
    run = _Run(
        arrays=made,
        estimate=followed.estimate,
        healing=model.heal(course, episodes, course.days - course.origin),
        chance=model.chance(course, episodes, state=state, first=_first_shown(made)),
        entries=model.entries(course, episodes, made.targets, state=state),
        loads=_loads(course),
        as_of=followed.as_of,
        ahead_days=ahead_days,
    )
    first = date.fromordinal(course.first_ordinal + run.first_shown)
    days, share = course.origin - run.first_shown, model.parameters["taped_share"]
    past = [past_factors(one, first, days, share) for one in followed.facts]
    ahead = days_ahead(model, made, state, run.chance)
    return [
        (_numbers(run, row), replace(_days(run, row, past[row]), ahead=ahead[row]))
        for row in range(len(followed.facts))
    ]


def _first_shown(made: Arrays) -> int:
    return max(0, made.course.origin - BEHIND_DAYS)


def _loads(course: Course) -> _Loads:
    past = course.load_done_slu[:, : course.origin + 1]
    week = load.seven_day_sum(past)
    return _Loads(
        week_slu=np.nan_to_num(week.sum_slu[:, -1]),
        unknown_days=week.unknown_days[:, -1],
        percentile=load.own_percentile(week) / 100.0,  # in rules and words it is a share
        ahead_slu=np.nansum(course.load_plan_slu[:, course.origin + 1 : course.origin + 8], axis=1),
        monotony=load.monotony(past[:, -7:]).value,
    )


def _numbers(run: _Run, row: int) -> AthleteNumbers:
    at, estimate, loads = run.arrays.course.origin, run.estimate, run.loads
    return AthleteNumbers(
        reserve_mean_pt=float(estimate.reserve_mean_pt[row, at]),
        reserve_sd_pt=float(estimate.reserve_sd_pt[row, at]),
        usual_reserve_pt=float(estimate.usual_reserve_pt[row]),
        dampness_mean_pt=float(estimate.dampness_mean_pt[row, at]),
        dampness_sd_pt=float(estimate.dampness_sd_pt[row, at]),
        hardness_mean_pt=float(estimate.hardness_mean_pt[row, at]),
        load_7d_slu=float(loads.week_slu[row]),
        load_7d_unknown_days=int(loads.unknown_days[row]),
        load_7d_percentile=_known(loads.percentile[row]),
        load_ahead_7d_slu=float(loads.ahead_slu[row]),
        monotony=_known(loads.monotony[row]),
        agent_effect_frac={name: float(estimate.agent_effect_frac[row, at, k]) for k, name in enumerate(INGREDIENTS)},
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
    course, shown = run.arrays.course, slice(run.first_shown, run.days_of(row))
    first = date.fromordinal(course.first_ordinal + run.first_shown)
    return DayFigures(
        first_day=first,
        done_slu=[_known(v) for v in course.load_done_slu[row, shown].tolist()],
        plan_slu=[_known(v) for v in course.load_plan_slu[row, shown].tolist()],
        course=_course(run, row, past),
    )


def _course(run: _Run, row: int, past: list[float]) -> list[CourseDay]:
    """Past days with the chance that the damage of the day left, then those ahead with their fan."""
    chance, course, end = run.chance, run.arrays.course, run.days_of(row)
    first = date.fromordinal(course.first_ordinal + run.first_shown)
    days = [first + timedelta(days=n) for n in range(end - run.first_shown)]
    answered = course.answered[row, run.first_shown : end].tolist()
    behind, ahead = slice(run.first_shown, course.origin), slice(course.origin, end)
    found = [
        CourseDay(day, round(p * factor, 4), None, None, None, None, said)
        for day, p, factor, said in zip(days, chance.p[row, behind].tolist(), past, answered, strict=False)
    ]
    fan = (values[row, ahead].tolist() for values in (chance.p, chance.low, chance.high, chance.q25, chance.q75))
    now = len(found)
    found += [
        CourseDay(day, *(round(value, 4) for value in values), said)
        for day, values, said in zip(days[now:], zip(*fan, strict=True), answered[now:], strict=True)
    ]
    return found
