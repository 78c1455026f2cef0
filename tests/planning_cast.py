"""Invented problems and athletes for the planner, and a second definition of what is asked of it.

`linear` states the problem for a mixed-integer solver from the meaning of its values alone; `stopped` restates the hard
stops of care from the wording of the rulebook's cautions, not from the code that applies them.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from itertools import combinations

import numpy as np
from scipy.optimize import Bounds as Box
from scipy.optimize import LinearConstraint, milp

from coaching.rules import rulebook
from coaching.rules.case import Case
from coaching.rules.facts import (
    AthleteFacts,
    AwayFact,
    CareFact,
    CheckInFact,
    EntryFact,
    EpisodeFact,
    LookFact,
    SignoffFact,
)
from coaching.rules.planning_choices import Wishes, choices, lawful, plan_days
from coaching.rules.planning_values import Action, AtMost, Bounds, Choices, EventDay, Goal, Needs, Problem
from coaching.rules.planning_worth import keeps, worth
from tests import cast

TODAY = date(2027, 3, 11)
BOUNDS = Bounds(plenty=2500, dry_below=3500, damp_above=5500, glassy_above=6300)
SENSITIVITIES = ("formaldehyde", "methenamine", "aluminium", "rosin", "latex")
MEDICAL = ("pregnancy", "breast-feeding", "implant", "metal", "heart", "epilepsy", "numb-skin", "other")
FLAGS = ("pus", "streak", "fever", "throbbing", "warmth")
AGENTS = ("methenamine spray", "methenamine liquid", "methenamine cream", "aluminium salt", "iontophoresis")


def problem(seed: int, actions: int, limits: int = 4) -> Problem:
    """A made-up problem of one or two events, worst days and trips among them."""
    rng = random.Random(seed)

    def adds(spread: int) -> tuple[int, ...]:
        return tuple(rng.randint(-spread, spread) for _ in range(actions))

    def day() -> EventDay:
        start = rng.randint(-2000, 2500), rng.randint(1500, 8500), rng.randint(3000, 8000)
        return EventDay(*start, adds(700), adds(700), adds(400))

    def goal(name: str) -> Goal:
        days = tuple(day() for _ in range(rng.randint(1, 3)))
        return Goal(name, rng.choice((90, 180, 360)), rng.random() < 0.5, days)

    most = []
    for _ in range(limits):
        which = tuple(sorted(rng.sample(range(actions), rng.randint(2, min(5, actions)))))
        most.append(AtMost(which, rng.randint(1, len(which) - 1)))
    one, *others = rng.sample(range(actions), 3)
    costs = tuple(rng.randint(0, 40_000) for _ in range(actions))
    goals = tuple(goal(f"e{n}") for n in range(rng.randint(1, 2)))
    return Problem(actions, goals, costs, BOUNDS, tuple(most), (Needs(one, tuple(others)),))


def exhaustive(asked: Problem) -> int:
    """The greatest worth of all sets that keep the limits."""
    sets = (taken for n in range(asked.actions + 1) for taken in combinations(range(asked.actions), n))
    return max(worth(asked, taken) for taken in sets if keeps(asked, taken))


def linear(asked: Problem) -> int:
    """The same greatest worth by a mixed-integer solver (HiGHS), which shares no code with the planner's."""
    n, columns, rows, lower = asked.actions, asked.actions, [], []
    gain = [-float(cost) for cost in asked.costs]
    low, high = [0.0] * n, [1.0] * n

    def column(weight: float, bottom: float, top: float) -> int:
        nonlocal columns
        gain.append(weight)
        low.append(bottom)
        high.append(top)
        columns += 1
        return columns - 1

    def at_least(terms: dict[int, float], bound: float) -> None:
        rows.append(terms)
        lower.append(bound)

    for limit in asked.at_most:
        at_least({i: -1.0 for i in limit.which}, -float(limit.most))
    for one in asked.needs:
        at_least({one.action: -1.0, **{i: 1.0 for i in one.one_of}}, 0.0)
    b = asked.bounds
    for goal in asked.goals:
        worst = None if goal.trip else column(float(goal.weight), -np.inf, np.inf)
        for day in goal.days:
            weight = float(goal.weight) if goal.trip else 0.0
            reserve = column(weight, -np.inf, float(b.plenty))
            outside, glassy = column(-weight, 0.0, np.inf), column(-weight, 0.0, np.inf)
            at_least({**dict(enumerate(map(float, day.adds_reserve))), reserve: -1.0}, -float(day.reserve))
            damp = list(map(float, day.adds_dampness))
            at_least({**{i: -v for i, v in enumerate(damp)}, outside: 1.0}, float(day.dampness - b.damp_above))
            at_least({**dict(enumerate(damp)), outside: 1.0}, float(b.dry_below - day.dampness))
            hard = {i: -float(v) for i, v in enumerate(day.adds_hardness)}
            at_least({**hard, glassy: 1.0}, float(day.hardness - b.glassy_above))
            if worst is not None:
                at_least({reserve: 1.0, outside: -1.0, glassy: -1.0, worst: -1.0}, 0.0)
    matrix = np.zeros((len(rows), columns))
    for row, terms in enumerate(rows):
        for place, value in terms.items():
            matrix[row, place] = value
    whole = np.array([1] * n + [0] * (columns - n))
    found = milp(
        -np.array(gain),
        constraints=LinearConstraint(matrix, np.array(lower), np.inf),
        integrality=whole,
        bounds=Box(np.array(low), np.array(high)),
        options={"mip_rel_gap": 0.0},
    )
    assert found.success, found.message
    return round(-found.fun)


def athlete(seed: int) -> AthleteFacts:
    """Anybody: any age, allergy, medical matter, damage, mark, agent, plan, time away and pair of events."""
    rng = random.Random(seed)

    def some(values: tuple[str, ...], chance: float) -> frozenset[str]:
        return frozenset(value for value in values if rng.random() < chance)

    first = TODAY + timedelta(days=rng.randint(3, 24))
    entries = [_entry(rng, "e1", first)]
    if rng.random() < 0.5:
        entries.append(_entry(rng, "e2", first + timedelta(days=rng.randint(3, 10))))
    return cast.athlete(
        TODAY,
        age_years=rng.choice((None, 10, 11, 12, 15, 17, 18, 24, 24, 30)),
        skin_kind=rng.choice((None, "damp", "damp", "mixed", "dry")),
        sensitivities=some(SENSITIVITIES, 0.12),
        contraindications=some(MEDICAL, 0.05),
        checkins=(_checkin(rng),),
        episodes=tuple(_episode(rng, n) for n in range(rng.choice((0, 0, 0, 1, 2)))),
        care=tuple(_care(rng) for _ in range(rng.randint(0, 6))),
        signoffs=tuple(_signoff(rng) for _ in range(rng.randint(0, 4))),
        away=_away(rng),
        entries=tuple(entries),
    )


def _entry(rng: random.Random, code: str, first: date) -> EntryFact:
    kind = rng.choice(("competition", "trip"))
    last = first + timedelta(days=rng.randint(0, 2))
    return cast.entry(first, last, event_id=code, kind=kind, priority=rng.choice((None, 1, 2, 3)))


def _checkin(rng: random.Random) -> CheckInFact:
    flags = tuple(flag for flag in FLAGS if rng.random() < 0.02)
    marks = (("R-index-tip", rng.choice(("pink", "glassy", "ridge"))),) if rng.random() < 0.2 else ()
    damp, hard = rng.randint(1, 9), rng.randint(2, 9)
    return CheckInFact(TODAY, reserve=5, dampness=damp, hardness=hard, marks=marks, red_flags=flags)


def _episode(rng: random.Random, n: int) -> EpisodeFact:
    noticed = TODAY - timedelta(days=rng.randint(0, 9))
    looks = ()
    if rng.random() < 0.6:
        looks = (LookFact(TODAY, rng.choice(("open", "closing", "rimmed", "thinned", "sound"))),)
    site = rng.choice(("R-middle-tip", "L-ring-middle-crease", "L-palm-callus"))
    kind = rng.choice(("split", "flapper", "blister"))
    return EpisodeFact(f"d{n}", site, kind, noticed, depth=rng.choice((None, "deep", "shallow")), looks=looks)


def _care(rng: random.Random) -> CareFact:
    form = rng.choice((*AGENTS, "sand", "level callus", "humectant cream", "rest day"))
    rule = rulebook.current().forms[form]
    past = rng.random() < 0.6
    day = TODAY - timedelta(days=rng.randint(0, 20)) if past else TODAY + timedelta(days=rng.randint(0, 12))
    reaction = rng.choice((None, None, None, "mild", "stopped")) if past and rule.ingredient else None
    status = rng.choice(("done", "done", "skipped")) if past else "planned"
    return CareFact(day, status, rule.verb, form, part=rule.parts[0], reaction=reaction)


def _signoff(rng: random.Random) -> SignoffFact:
    return SignoffFact(rng.choice(AGENTS), rng.choice(("guardian", "medical")), TODAY - timedelta(days=2))


def _away(rng: random.Random) -> tuple[AwayFact, ...]:
    if rng.random() < 0.6:
        return ()
    first = TODAY + timedelta(days=rng.randint(0, 8))
    return (AwayFact(first, first + timedelta(days=2), rng.choice(("travel", "illness", "water", "other"))),)


def case_of(seed: int) -> Case:
    """The lawful case of an invented athlete."""
    return lawful(Case(athlete(seed), cast.numbers(), TODAY, rulebook.current()))


def choices_of(case: Case) -> Choices:
    """Choices where every day ahead has a planned session."""
    days = frozenset(plan_days(case)) if case.entries else frozenset()
    return choices(case, Wishes(days, days))


def problem_of(found: Choices, seed: int) -> Problem:
    """Made-up responses of one day, good ones more often than not, so that plans are full and quickly proved."""
    rng, n = random.Random(seed), len(found.actions)
    good = tuple(rng.randint(-50, 300) for _ in range(n))
    day = EventDay(-1500, 4500, 6000, good, (0,) * n, (0,) * n)
    costs = tuple(rng.randint(0, 9000) for _ in range(n))
    return Problem(n, (Goal("e1", 360, False, (day,)),), costs, BOUNDS, found.at_most, found.needs)


def stopped(facts: AthleteFacts, actions: Iterable[Action]) -> Iterator[str]:
    """Hard stops that a plan meets, told anew: allergy, age, what is medical, open skin, signs of infection."""
    flags = {flag for one in facts.checkins for flag in one.red_flags}
    hurt = [one for one in facts.episodes if not one.looks or one.looks[-1].stage != "sound"]
    age = facts.age_years
    for one in actions:
        if one.kind != "care":
            continue
        if flags:
            yield f"{one.form}: signs of infection"
        if one.verb == "soften" or one.form not in (*AGENTS, "sand", "level callus"):
            continue
        if hurt:
            yield f"{one.form}: open or healing skin without a site named"
        if one.form not in AGENTS:
            continue
        if one.form.startswith("methenamine") and facts.sensitivities & {"formaldehyde", "methenamine"}:
            yield f"{one.form}: allergy"
        if one.form == "aluminium salt" and "aluminium" in facts.sensitivities:
            yield f"{one.form}: allergy"
        if one.form.startswith("methenamine") and facts.contraindications & {"pregnancy", "breast-feeding"}:
            yield f"{one.form}: pregnant or breast-feeding"
        body = {"implant", "pregnancy", "epilepsy", "heart", "metal", "numb-skin"}
        if one.form == "iontophoresis" and facts.contraindications & body:
            yield f"{one.form}: current through this body"
        if age is not None and age < 12:
            yield f"{one.form}: under 12"
        if age is None or age < 18:
            names = {one.form, rulebook.current().ingredient(one.form)}
            by = {s.by for s in facts.signoffs if s.form in names}
            if by != {"guardian", "medical"}:
                yield f"{one.form}: under 18 without both sign-offs"
        if any(c.form == one.form and c.reaction == "stopped" for c in facts.care):
            yield f"{one.form}: the skin reacted"
