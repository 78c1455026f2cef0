"""From one athlete's facts to the best plan of care, rest and limits: responses by the model, the choice by the
solver, the best plans counted again by the whole model. Nothing is read from the database and nothing is stored.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence

import numpy as np

from athletes.records.histories_care import INGREDIENT_OF_FORM, dose_frac
from coaching.rules import planning_check, planning_solver
from coaching.rules.case import Case
from coaching.rules.facts import CareFact, EntryFact
from coaching.rules.planning_choices import next_entries
from coaching.rules.planning_fixed import fixed_list
from coaching.rules.planning_values import SCALE, Bounds, EventDay, Goal, Plan, Problem
from coaching.rules.planning_worth import keeps
from coaching.rules.trial_standing import OwnWord
from coaching.rules.trial_verdict import NOT
from coaching.science.edited import Edited, Edits, no_edits
from coaching.science.inputs import INGREDIENTS, Floats, Ints, Targets
from coaching.usecases.planned import PlanEntry, Planned, PlanStep
from coaching.usecases.planning_question import HALF, WEIGHTS, Question

BEST = 20
COST_IN_CHANCE = 0.04
"""The same costs beside chances: a point of margin is taken for four in a hundred (judgement)."""
PLENTY_PT = 2.5
"""Reserve so far above the limit is enough: three times the spread of what sessions ask (judgement)."""
POLISHES = 3
"""Rounds of single changes by the whole model after the choice: they mend what additive responses miss."""
LEAST_WORTH = 1e-4
CLEAR_GAIN = 0.005
"""A plan that changes no chance by half a point in a hundred is not asked for (judgement)."""


def plan(asked: Question | None, case: Case, count: int = BEST) -> Planned:
    """The plan that holds best by the whole model among the `count` best by the additive count.

    `asked` is the question of that case. Same input, same plan.
    """
    if asked is None or not asked.choices.actions:
        return Planned(case.as_of, case.facts.athlete_id, why_none=_why_none(case))
    posed = problem(asked)
    return _chosen(asked, posed, planning_solver.best(posed, count))


def problem(asked: Question) -> Problem:
    """Margins and what each action adds to them, by one run of the model with and one without it."""
    n, p = len(asked.choices.actions), asked.model.parameters
    first = min(asked.column(e.first_day) for e in asked.entries)
    last = max(asked.column(e.last_day) for e in asked.entries)
    rows = n + 1
    span = Targets(*(_row(v, rows) for v in (0, first, last)), np.ones(rows, dtype=bool), asked.unhurt(rows))
    plans = [(), *((i,) for i in range(n))]
    means = asked.model.edited_means(
        asked.made.course, asked.made.episodes, span, edits(asked, plans), state=asked.state
    )
    whole = {name: np.rint(values * SCALE).astype(np.int64) for name, values in means.items()}
    limit = round(p["enough_reserve_pt"] * SCALE)
    goals = tuple(_goal(asked, entry, whole, first, limit) for entry in asked.entries)
    mild = p["mild_margin_pt"]
    bounds = Bounds(
        plenty=round(PLENTY_PT * SCALE),
        dry_below=round((p["too_dry_pt"] + mild) * SCALE),
        damp_above=round((p["too_damp_pt"] - mild) * SCALE),
        glassy_above=round((p["too_hard_pt"] - mild) * SCALE),
    )
    costs = tuple(round(cost * SCALE * WEIGHTS[1]) for cost in asked.costs_pt)
    return Problem(n, goals, costs, bounds, asked.choices.at_most, asked.choices.needs)


def _goal(asked: Question, entry: EntryFact, whole: Mapping[str, Ints], first: int, limit: int) -> Goal:
    columns = range(asked.column(entry.first_day) - first, asked.column(entry.last_day) - first + 1)
    days = tuple(_event_day(whole, c, limit) for c in columns)
    trip = entry.kind == "trip"
    weight = asked.weight(entry)
    return Goal(entry.event_id, max(1, weight // len(days)) if trip else weight, trip, days)


def _event_day(whole: Mapping[str, Ints], column: int, limit: int) -> EventDay:
    base = {name: int(values[0, column]) for name, values in whole.items()}
    adds = {name: tuple((values[1:, column] - values[0, column]).tolist()) for name, values in whole.items()}
    return EventDay(
        base["reserve_pt"] - limit,
        base["dampness_pt"],
        base["hardness_pt"],
        adds["reserve_pt"],
        adds["dampness_pt"],
        adds["hardness_pt"],
    )


def edits(asked: Question, plans: Sequence[Sequence[int]]) -> Edits:
    """What each plan changes, a row each; care and rest only so far as this athlete does them in practice."""
    found = no_edits(len(plans), asked.days, len(INGREDIENTS))
    for row, taken in enumerate(plans):
        for one in (asked.choices.actions[i] for i in taken):
            column, share = asked.column(one.day), asked.share[one.verb]
            if one.kind in ("rest", "half"):
                cut = 1.0 if one.kind == "rest" else HALF
                found.load_share[row, column] = 1.0 - share * cut
            elif one.verb == "dry":
                agent = INGREDIENTS.index(INGREDIENT_OF_FORM[one.form])
                care = CareFact(one.day, "planned", one.verb, one.form, one.strength, one.part)
                found.dose[row, column, agent] = share * dose_frac(care)
            else:
                (found.moist if one.verb == "soften" else found.filed)[row, column] = share
    return found


def rescored(asked: Question, plans: Sequence[Sequence[int]], against: Sequence[int]) -> Edited:
    """Readiness under each plan for each entry, by the whole model: rows are plans, within them entries."""
    made, entries = asked.made, len(asked.made.event_ids)
    t = made.targets
    turn = np.tile(np.arange(entries), len(plans))
    rows = np.repeat(np.arange(len(plans)), entries)
    targets = Targets(t.athlete[turn], t.first[turn], t.last[turn], t.trip[turn], t.weight[turn])
    other = np.array(against)[rows] * entries + turn
    return asked.model.edited_chance(
        made.course, made.episodes, targets, edits(asked, plans).rows(rows), other, state=asked.state
    )


def scores(asked: Question, plans: Sequence[Sequence[int]], p: Floats) -> Floats:
    """What each plan is worth by the whole model: chances by the weight of their events, less costs; (plans,)."""
    by_id = {one.event_id: one for one in asked.entries}
    weights = np.array([asked.weight(by_id[event_id]) for event_id in asked.made.event_ids], dtype=np.float64)
    chance = (p.reshape(len(plans), -1) * (weights / WEIGHTS[1])).sum(axis=1)
    costs = np.array([sum(asked.costs_pt[i] for i in taken) for taken in plans])
    return np.asarray(chance - COST_IN_CHANCE * costs)


def polished(asked: Question, posed: Problem, taken: tuple[int, ...]) -> tuple[int, ...]:
    """The plan after one action at a time is put in or taken out, as long as the whole model finds it worth more."""
    for _ in range(POLISHES):
        chosen = set(taken)
        turned = [tuple(sorted(chosen ^ {i})) for i in range(posed.actions)]
        near = [taken, *(one for one in turned if keeps(posed, one))]
        worths = scores(asked, near, rescored(asked, near, [0] * len(near)).p)
        best = int(np.argmax(worths))
        if worths[best] <= worths[0] + LEAST_WORTH or _refused(asked, near[best]):
            break
        taken = near[best]
    return taken


def _chosen(asked: Question, posed: Problem, found: Sequence[Plan]) -> Planned:
    """The best of the plans, of the fixed list and of changing nothing, with what each of its steps brings."""
    fixed = fixed_list(asked.case, asked.choices)
    sound = [one.taken for one in found if not _refused(asked, one.taken)]
    plans = list(dict.fromkeys([(), fixed, *sound]))
    told = rescored(asked, plans, [0] * len(plans))
    better = polished(asked, posed, plans[int(np.argmax(scores(asked, plans, told.p)))])
    if better not in plans:
        plans.append(better)
        told = rescored(asked, plans, [0] * len(plans))
    taken = better if _clear(asked, told, plans.index(better)) else ()
    at = plans.index(taken)
    return Planned(
        as_of=asked.case.as_of,
        athlete_id=asked.case.facts.athlete_id,
        entries=_entries(asked, told, at, plans.index(fixed)),
        actions=tuple(asked.choices.actions[i] for i in taken),
        steps=_steps(asked, taken),
        compared=len(plans),
        dropped=len(found) - len(sound),
        proved=all(one.proved for one in found),
        share=dict(asked.share),
        why_none="" if taken else "nothing-better",
        digest=_digest(asked, taken),
        left_out=_left_out(asked),
    )


def _left_out(asked: Question) -> tuple[tuple[str, OwnWord], ...]:
    words = sorted(asked.own_words.items())
    return tuple((form, word) for form, word in words if word.code == NOT and asked.case.book.is_agent(form))


def _clear(asked: Question, told: Edited, plan: int) -> bool:
    """Whether the plan changes the chance of any event by enough to be told of."""
    count = len(asked.made.event_ids)
    return bool(np.max(told.gain[plan * count : (plan + 1) * count]) >= CLEAR_GAIN)


def _refused(asked: Question, taken: Sequence[int]) -> bool:
    return bool(planning_check.refused(asked.case, [asked.choices.actions[i] for i in taken]))


def _entries(asked: Question, told: Edited, at: int, fixed: int) -> tuple[PlanEntry, ...]:
    found, count = [], len(asked.made.event_ids)
    by_id = {one.event_id: one for one in asked.entries}
    for k, event_id in enumerate(asked.made.event_ids):
        now, then, listed = k, at * count + k, fixed * count + k
        found.append(
            PlanEntry(
                event_id=event_id,
                name=by_id[event_id].event_name,
                first_day=by_id[event_id].first_day,
                priority=by_id[event_id].priority,
                p_before=float(told.p[now]),
                low_before=float(told.low[now]),
                high_before=float(told.high[now]),
                p=float(told.p[then]),
                low=float(told.low[then]),
                high=float(told.high[then]),
                gain=float(told.gain[then]),
                gain_low=float(told.gain_low[then]),
                gain_high=float(told.gain_high[then]),
                p_fixed_list=float(told.p[listed]),
            )
        )
    return tuple(sorted(found, key=lambda one: (one.first_day, one.event_id)))


def _steps(asked: Question, taken: Sequence[int]) -> tuple[PlanStep, ...]:
    """Runs of days of one form, each with what the plan would lose without it, the greatest loss first."""
    runs: dict[tuple[str, str, str | None], list[int]] = {}
    for i in taken:
        one = asked.choices.actions[i]
        runs.setdefault((one.kind, one.form, one.strength), []).append(i)
    if not runs:
        return ()
    without = [tuple(i for i in taken if i not in run) for run in runs.values()]
    told = rescored(asked, [tuple(taken), *without], [0] * (len(runs) + 1))
    count = len(asked.made.event_ids)
    weights = {one.event_id: asked.weight(one) for one in asked.entries}
    main = max(range(count), key=lambda k: (weights[asked.made.event_ids[k]], -k))
    rows = [(k + 1) * count + main for k in range(len(runs))]
    order = sorted(range(len(runs)), key=lambda k: (told.gain[rows[k]], k))
    return tuple(_step(asked, list(runs.values())[k], told, rows[k], rank + 1) for rank, k in enumerate(order))


def _step(asked: Question, run: Sequence[int], told: Edited, row: int, rank: int) -> PlanStep:
    actions = [asked.choices.actions[i] for i in run]
    one = actions[0]
    rule = asked.case.book.form(one.form if one.kind != "half" else "rest day")
    assert rule is not None  # noqa: S101 - actions are made from the rulebook's own forms
    return PlanStep(
        kind=one.kind,
        verb=one.verb,
        form=one.form,
        part=one.part,
        strength=one.strength,
        days=tuple(sorted(a.day for a in actions)),
        rule=rule.rule,
        how=rule.how if one.kind != "half" else "",
        caution=rule.caution,
        source=rule.source,
        rank=rank,
        gain=-float(told.gain[row]),
        low=-float(told.gain_high[row]),
        high=-float(told.gain_low[row]),
        own_trial=asked.own_words.get(one.form),
    )


def _why_none(case: Case) -> str:
    if case.medical_stop:
        return "medical"
    return "nothing-allowed" if next_entries(case) else "no-event"


def _digest(asked: Question, taken: Sequence[int]) -> str:
    """What an answer names: this very plan for this athlete from this day on."""
    actions = [asked.choices.actions[i] for i in taken]
    told = [asked.case.facts.athlete_id, asked.case.as_of.isoformat()]
    told += [f"{a.day.isoformat()} {a.kind} {a.form} {a.part} {a.strength}" for a in actions]
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()[:16]


def _row(value: int, rows: int) -> Ints:
    return np.full(rows, value, dtype=np.int64)
