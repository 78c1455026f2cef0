"""Plans of a squad: time of the first and of the best twenty, gain over the fixed list, regret on small cases."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import combinations
from typing import Any

from coaching.rules import planning_solver, rulebook
from coaching.rules.case import Case
from coaching.rules.planning_values import Choices
from coaching.rules.planning_worth import keeps
from coaching.science import versions
from coaching.usecases import conclude, planning, planning_question
from coaching.usecases.planned import Planned
from coaching.usecases.planning_question import Question

SMALL_ACTIONS = 10
MOST_ATHLETES = 48


def plans(ids: Sequence[int], today: date, seconds: float) -> dict[str, Any]:
    """`first` is everything from facts to the first proved plan, the past filtered for the squad at once; `best_twenty`
    goes on to twenty plans counted again by the whole model. Milliseconds an athlete, medians. Athletes are taken in
    turn until the time is up, half of it for the plans and half for the small cases; each has one at least.
    """
    started = time.perf_counter()
    found = conclude.concluded(list(ids)[:MOST_ATHLETES], today)
    book, model = rulebook.current(), versions.get(versions.CURRENT)
    cases = [Case(one.facts, one.numbers, today, book) for one in found.values()]
    began = time.perf_counter()
    asked = planning_question.questions(cases, model)
    shared_ms = (time.perf_counter() - began) * 1000 / max(1, len(cases))
    pairs = [(q, c) for q, c in zip(asked, cases, strict=True) if q is not None and q.choices.actions]
    solve, first, twenty, made = [], [], [], []
    for question, case in _while(pairs, started + seconds / 2):
        began = time.perf_counter()
        problem = planning.problem(question)
        posed = time.perf_counter()
        planning_solver.best(problem)
        first.append(shared_ms + _ms(began))
        solve.append(_ms(posed))
        began = time.perf_counter()
        made.append(planning.plan(question, case))
        twenty.append(shared_ms + _ms(began))
    return {
        "athletes": len(made),
        "median_ms": {"questions": shared_ms, **{k: _median(v) for k, v in _named(solve, first, twenty)}},
        "against_fixed_list": _against(made),
        "regret_on_small_cases": _regret(_while([question for question, _ in pairs], started + seconds)),
    }


def _named(solve: list[float], first: list[float], twenty: list[float]) -> list[tuple[str, list[float]]]:
    return [("solving_the_first", solve), ("first", first), ("best_twenty", twenty)]


def _against(made: Sequence[Planned]) -> dict[str, Any]:
    """Change of readiness by the whole model, plan and fixed list, each against the plan at hand."""
    entries = [entry for one in made for entry in one.entries]
    return {
        "entries": len(entries),
        "plan_gain_mean": _mean([e.p - e.p_before for e in entries]),
        "fixed_list_gain_mean": _mean([e.p_fixed_list - e.p_before for e in entries]),
        "plan_better": sum(e.p > e.p_fixed_list + 1e-9 for e in entries),
        "fixed_list_better": sum(e.p < e.p_fixed_list - 1e-9 for e in entries),
        "refused_after_all": sum(one.dropped for one in made),
        "all_proved": all(one.proved for one in made),
    }


def _while(items: Sequence[Any], until: float) -> Iterator[Any]:
    """Those of the items that the time is enough for, the first in any case."""
    for n, item in enumerate(items):
        if n and time.perf_counter() > until:
            return
        yield item


def _regret(asked: Iterable[Question]) -> dict[str, Any]:
    """What the choice leaves of the best score there is: every set of the last ten actions by the whole model."""
    left = [_left(replace(one, choices=_last(one.choices))) for one in asked]
    return {"cases": len(left), "mean": _mean(left), "most": max(left, default=0.0), "nil": sum(v < 1e-9 for v in left)}


def _last(choices: Choices) -> Choices:
    """The last actions before the last event, free of limits: those that are most felt."""
    order = sorted(range(len(choices.actions)), key=lambda i: (choices.actions[i].day, i))[-SMALL_ACTIONS:]
    return Choices(tuple(choices.actions[i] for i in sorted(order)))


def _left(asked: Question) -> float:
    problem = planning.problem(asked)
    n = problem.actions
    sets = [taken for k in range(n + 1) for taken in combinations(range(n), k) if keeps(problem, taken)]
    scores = planning.scores(asked, sets, planning.rescored(asked, sets, [0] * len(sets)).p)
    places = {taken: at for at, taken in enumerate(sets)}
    found = [(), *(one.taken for one in planning_solver.best(problem, planning.BEST))]
    chosen = max(found, key=lambda taken: scores[places[taken]])
    return float(scores.max() - scores[places[planning.polished(asked, problem, chosen)]])


def _ms(began: float) -> float:
    return (time.perf_counter() - began) * 1000


def _median(values: Sequence[float]) -> float:
    return round(statistics.median(values), 1) if values else 0.0


def _mean(values: Sequence[float]) -> float:
    return round(statistics.fmean(values), 4) if values else 0.0
