"""Care rows -> doses of agents and flags of filing and softening. Equal rows count once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from athletes.records.histories_grid import Grid
from coaching.rules.facts import AthleteFacts, CareFact
from coaching.science.inputs import INGREDIENTS, Floats

INGREDIENT_OF_FORM = {
    "methenamine spray": "methenamine",
    "methenamine liquid": "methenamine",
    "methenamine cream": "methenamine",
    "aluminium salt": "aluminium",
    "iontophoresis": "iontophoresis",
}
STRENGTH = {"weak": 0.5, "medium": 0.75, "strong": 1.0, None: 0.75}
FULL_DOSE_USES = 2
FINGERS = ("thumb", "index", "middle", "ring", "little")
HAND_TIPS = {hand: tuple(f"{hand}-{digit}-tip" for digit in FINGERS) for hand in "LR"}
ONE_HAND = frozenset(frozenset(tips) for tips in HAND_TIPS.values())
ONE_HAND_SHARE = 0.5
"""A rating is of the fingers of both hands; what was put on the tips of one hand alone moves it by half (judgement)."""


@dataclass(frozen=True)
class CareArrays:
    dose_done: Floats
    dose_plan: Floats
    filed: Floats
    moist: Floats


CareRows = Sequence[tuple[int, int, CareFact]]


def care_rows(facts: Sequence[AthleteFacts], grid: Grid) -> CareRows:
    """(row, column, care), equal rows once, nothing done or skipped after the origin.

    Their order is open: doses are sixteenths, whose sums are exact in any order.
    """
    placed = ((row, grid.column(care.day), care) for row, one in enumerate(facts) for care in set(one.care))
    return [
        (row, column, care)
        for row, column, care in placed
        if 0 <= column < grid.days and (column <= grid.origin or care.status == "planned")
    ]


def dose_frac(care: CareFact) -> float:
    """Dose of one care row: strength times uses over the two of a full day, half of it on all tips of one hand, 0-1."""
    uses = 1 if care.uses is None else care.uses
    share = ONE_HAND_SHARE if care.sites and frozenset(care.sites) in ONE_HAND else 1.0
    return min(1.0, STRENGTH[care.strength] * uses / FULL_DOSE_USES) * share


def care_arrays(rows: CareRows, grid: Grid, agent_used: Floats) -> CareArrays:
    logged = [r for r in rows if r[2].status in ("done", "skipped")]
    done = [r for r in rows if r[2].status == "done"]
    plan, doses = _dose_plan(rows, grid), _doses(done, grid)
    said = np.pad(
        agent_used[:, 1:], ((0, 0), (0, 1)), constant_values=np.nan
    )  # of the day before that morning
    known = (grid.marked(logged) | ~np.isnan(said)) & grid.past
    # "Yes" with no row stands for the plan of that day; which agent and how much is not known without one.
    unsure = (said == 1.0) & ~(doses > 0).any(axis=-1)
    planned = np.where((plan > 0).any(axis=-1, keepdims=True), plan, np.nan)
    dose = np.where(unsure[..., None], planned, doses)
    return CareArrays(
        dose_done=np.where(known[..., None], dose, np.nan),
        dose_plan=plan,
        filed=np.where(known, grid.marked([r for r in done if r[2].verb == "even"]), np.nan),
        moist=np.where(known, grid.marked([r for r in done if r[2].verb == "soften"]), np.nan),
    )


def _doses(rows: Iterable[tuple[int, int, CareFact]], grid: Grid) -> Floats:
    found = np.zeros((grid.athletes, grid.days, len(INGREDIENTS)))
    for row, column, care in rows:
        if care.form in INGREDIENT_OF_FORM:
            found[row, column, INGREDIENTS.index(INGREDIENT_OF_FORM[care.form])] += dose_frac(care)
    return np.minimum(found, 1.0)


def _dose_plan(rows: Iterable[tuple[int, int, CareFact]], grid: Grid) -> Floats:
    """Planned dose. The plan of care is known from its first row to its last, and on to the end where that
    lies ahead.
    """
    planned = [r for r in rows if r[2].status == "planned"]
    there = grid.marked(planned)
    started = np.logical_or.accumulate(there, axis=1)
    to_come = np.logical_or.accumulate(there[:, ::-1], axis=1)[:, ::-1]
    reaches = there[:, grid.origin + 1 :].any(axis=1)[:, None]
    known = started & (to_come | reaches)
    return np.where(known[..., None], _doses(planned, grid), np.nan)
