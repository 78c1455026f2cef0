"""A trial's rows as arrays, and what is read from them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from athletes.records import queries_trials
from athletes.records.queries_trials import SessionDone, TrialRow
from coaching.rules.case import Case
from coaching.rules.trial_questions import EVERY, Ask, dosing
from coaching.rules.trial_verdict import WORTH
from coaching.science import versions
from coaching.science.inputs import Bools, Floats
from coaching.science.quantities import Parameters
from coaching.science.trial_doses import steady
from coaching.science.trial_orders import draw
from coaching.science.trial_plan import Blocks, due, told
from coaching.science.trial_reading import Dosing, Reading, read_trial
from coaching.science.trial_shrink import Prior

PAST_DAYS = 120
LEAST_LOAD_SLU = 0.2
DAMPNESS_PRIOR_SD = 1.5
"""How far the mean effect of an agent on a fingertip may lie from what is published of palms (judgement)."""


def parameters() -> Parameters:
    """Of the model in force."""
    return versions.get(versions.CURRENT).parameters


def ask_of(row: TrialRow) -> Ask:
    return Ask(row.form, row.outcome, row.lower_is_better, row.hands, row.hidden, row.pairs, row.strength)


def blocks_of(row: TrialRow) -> Blocks:
    return Blocks(row.starts, row.skip_days, row.read_days, row.hands)


def order_of(row: TrialRow) -> Bools:
    """The order that was drawn: whoever asks must not show it while it is hidden."""
    return draw(row.pairs, row.seed)


def daily(athlete_id: int, outcome: str, first: date, days: int) -> Floats:
    """The outcome of each day from the athlete's own answers, (T,), NaN not answered."""
    found, last = np.full(days, np.nan), first + timedelta(days=days - 1)
    mornings = queries_trials.mornings(athlete_id, first, last + timedelta(days=1))
    if outcome in ("dampness", "sting"):
        at = 1 if outcome == "dampness" else 2
        for day, rated in mornings.items():
            if day <= last and rated[at] is not None:
                found[(day - first).days] = rated[at]
        return found
    sessions = queries_trials.sessions_done(athlete_id, first, last)
    for day in {one[0] for one in sessions}:
        of_day = [one for one in sessions if one[0] == day]
        value = _limited(of_day) if outcome == "limited" else _loss(of_day, day, mornings)
        if value is not None:
            found[(day - first).days] = value
    return found


def _limited(sessions: Sequence[SessionDone]) -> float | None:
    said = [one[1] for one in sessions if one[1] is not None]
    return float(any(said)) if said else None


def _loss(
    sessions: Sequence[SessionDone],
    day: date,
    mornings: dict[date, tuple[int | None, int | None, int | None]],
) -> float | None:
    """Points of reserve from this morning to the next for each unit of load (minutes / 60 x effort / 5)."""
    load = sum((one[2] or 0.0) / 60 * (one[3] or 0.0) / 5 for one in sessions)
    before, after = (mornings.get(day + timedelta(days=n), (None,))[0] for n in (0, 1))
    return None if before is None or after is None or load < LEAST_LOAD_SLU else (before - after) / load


Dots = list[list[list[float]]]
"""Answers that count, by pair and by block (or hand) of it."""


def reading_of(row: TrialRow, case: Case) -> tuple[Reading, Dots]:
    """What the trial shows as far as it has run, and the answers it rests on; days to come are not known."""
    blocks, order, days = blocks_of(row), order_of(row), queries_trials.days_of(row.id)
    own = dosing(ask_of(row), case.book, parameters())
    taken = _taken(row, days, due(blocks, order, own.every), blocks.days)
    both = np.tile(daily(row.athlete_id, row.outcome, row.first_day, blocks.days), (2, 1))
    if row.hands:
        both = np.full((2, blocks.days), np.nan)
        for one in days:
            at = (one.day - row.first_day).days
            if 0 <= at < blocks.days:
                both[:, at] = [np.nan if v is None else v for v in (one.left, one.right)]
    frame = told(blocks, order, own.every, both, taken)
    others = queries_trials.others_of(row.athlete_id, row.form, row.outcome)
    effects, errors = (np.array([one[k] for one in others]) for k in (0, 1))
    found = read_trial(frame, own, row.pair_sd, prior_of(row.outcome, own), parameters(), (effects, errors))
    return found, [[_known(both[k][pair[k]]) for k in (0, 1)] for pair in frame.read]


def _known(values: Floats) -> list[float]:
    return [round(float(one), 3) for one in values if np.isfinite(one)]


def _taken(row: TrialRow, days: Sequence[queries_trials.DayRow], due_days: Bools, length: int) -> Floats:
    """Uses told of, on the track they fell on; from a bottle without the agent nothing is taken."""
    found = np.where(due_days, np.nan, 0.0)
    for one in days:
        at = (one.day - row.first_day).days
        if one.taken is None or not 0 <= at < length:
            continue
        here = due_days[:, at]
        if here.any():
            found[here, at] = float(one.taken)
        elif one.taken and not row.hidden and not row.hands:
            found[:, at] = 1.0
    return found


def prior_of(outcome: str, own: Dosing) -> Prior:
    """Published and assumed effects of agents on dampness; of everything else that nothing is known."""
    p = parameters()
    if outcome == "dampness" and own.ingredient:
        full = steady(own.amount, own.every, own.ingredient, own.washout_d, p)
        size = p["agent_effect_pt"] * (1.0 - p["agent_no_response_frac"]) * full
        return Prior(-size, DAMPNESS_PRIOR_SD, p.spread("agent_effect_pt") * full)
    return Prior(0.0, WORTH[outcome], WORTH[outcome])


def every_of(row: TrialRow) -> int:
    """Days from use to use."""
    return EVERY.get(row.form, 1)
