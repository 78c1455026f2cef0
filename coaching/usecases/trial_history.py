"""Compared without a trial: what an athlete's history can and cannot show of forms of care that they simply used."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from athletes.records.histories_care import dose_frac
from athletes.records.queries_trials import TrialRow
from coaching.rules.case import Case
from coaching.rules.trial_questions import FORMS, outcomes_of
from coaching.science.inputs import Floats
from coaching.science.trial_doses import in_force, times
from coaching.science.trial_history import Compared, compare
from coaching.usecases import trial_data

HISTORY_DAYS = 180
LEAST_USES = 4


@dataclass(frozen=True)
class Hint:
    """One form that was used, and what mornings with and without it looked like."""

    form: str
    outcome: str
    uses: int
    found: Compared
    other_forms: tuple[str, ...]  # used in the same weeks


def hints(athlete_id: int, case: Case, trials: tuple[TrialRow, ...]) -> tuple[Hint, ...]:
    """Of every form used four times or more in half a year outside of trials, by form."""
    first = case.as_of - timedelta(days=HISTORY_DAYS - 1)
    spans = [(row.first_day, row.ended_on or case.as_of) for row in trials]
    found = []
    for form in FORMS:
        rule = case.book.forms[form]
        done = [one for one in case.done(form) if one.day >= first]
        done = [one for one in done if not any(a <= one.day <= b for a, b in spans)]
        if len({one.day for one in done}) < LEAST_USES:
            continue
        dose = np.zeros(HISTORY_DAYS)
        for one in done:
            dose[(one.day - first).days] = dose_frac(one) if rule.ingredient else 1.0
        washout = times(rule.ingredient, rule.carry_over_days, trial_data.parameters())[1]
        share = in_force(dose[None], rule.ingredient, washout, trial_data.parameters())[0]
        outcome = outcomes_of(form)[0] if rule.ingredient else "sting"
        share = share / max(float(share.max()), 1e-9)
        load, temp = _around(case, first.toordinal())
        seen = compare(trial_data.daily(athlete_id, outcome, first, HISTORY_DAYS), share, load, temp)
        others = _others(case, form, share, first.toordinal())
        found.append(Hint(form, outcome, len({one.day for one in done}), seen, others))
    return tuple(found)


def _around(case: Case, first: int) -> tuple[Floats, Floats]:
    """Load and air of the sessions of each day."""
    load, temp = np.zeros(HISTORY_DAYS), np.full(HISTORY_DAYS, np.nan)
    for one in case.facts.sessions:
        at = one.day.toordinal() - first
        if not one.planned and 0 <= at < HISTORY_DAYS:
            load[at] += (one.minutes or 0.0) / 60 * (one.rpe or 0.0) / 5
            temp[at] = np.nan if one.air_temp_c is None else one.air_temp_c
    return load, temp


def _others(case: Case, form: str, share: Floats, first: int) -> tuple[str, ...]:
    """Other forms used on days on which this one was in force."""
    days = {first + int(at) for at in np.nonzero(share >= 0.5)[0]}
    names = (one.form for one in case.facts.care if one.status == "done" and one.day.toordinal() in days)
    return tuple(sorted({name for name in names if name != form}))
