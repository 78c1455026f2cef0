"""What an athlete's own answers teach, as a version learns it: limits of their own, or one shift of the odds."""

from __future__ import annotations

import numpy as np

from coaching.science import limits, readiness
from coaching.science.inputs import Floats
from coaching.science.limits import Conditions
from coaching.science.nodes import NODES
from coaching.science.normal import cdf
from coaching.science.panel import Panel
from coaching.science.quantities import Parameters
from coaching.science.readiness import SHIFT_EDGES_SD


def nothing_told(athletes: int, p: Parameters) -> Floats:
    """Return what is believed before any answer.

    Parameters: athletes (count); p.
    Returns: (cells, N), opaque outside this module.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/property/test_footing.py.
    """
    if limits.learns(p):
        return limits.prior(athletes, p)
    return np.zeros((SHIFT_EDGES_SD.shape[0] - 1, athletes))


def answers_told(answer: Floats, panel: Panel, before: Floats, p: Parameters) -> Floats:
    """Return what is believed after some days' answers.

    Parameters: answer (N, D), as from `usable_answers`; panel (N, D, the same days); before, as `nothing_told`; p.
    Returns: as `before`.
    Raises: nothing.
    Assumes: answers of different days say something new each.
    Source: as `limits.told` and `readiness.answers_told`; tests/property/test_answers.py.
    """
    if not limits.learns(p):
        return readiness.answers_told(answer, panel, before, p)
    after, given = before.copy(), ~np.isnan(answer)
    days = np.flatnonzero(given.any(axis=0))
    met = readiness.conditions(panel.columns(days), p)
    for column, day in enumerate(days):
        rows = np.flatnonzero(given[:, day])
        then = Conditions(**{name: values[rows, column] for name, values in vars(met).items()})
        after[:, rows] = limits.told(answer[rows, day], then, after[:, rows], p)
    return after


def taught(panel: Panel, told: Floats, p: Parameters) -> Panel:
    """Return a panel with the athlete's own shifts at its nodes.

    Parameters: panel; told, as from `answers_told`; p.
    Returns: Panel.
    Raises: nothing.
    Assumes: nothing.
    Source: as `limits.at_points` and `readiness.shift_nodes`; tests/property/test_answers.py.
    """
    if not limits.learns(p):
        return panel.with_means(shift_logit=readiness.shift_nodes(told, p))
    reserve, damp, odds = limits.at_points(told, NODES.limits_z.T)
    return panel.with_means(reserve_shift_pt=reserve, damp_shift_pt=damp, shift_logit=odds)


def chance_of_answer(panel: Panel, p: Parameters) -> Floats:
    """Return the chance of the answer that skin did not limit, everything not known integrated out.

    Parameters: panel, as from `taught`; p.
    Returns: (R, D), 0-1.
    Raises: nothing.
    Assumes: as `readiness.expected_chance`.
    Source: as `readiness.expected_chance`; tests/reference/test_squad_fit.py.
    """
    c, slip = readiness.conditions(panel, p), p["answer_slip_frac"]
    total = np.zeros(panel.reserve_pt.shape)
    for node, shift in enumerate(panel.shift_logit):
        less, damper = panel.limits(node)
        if node == 0 or limits.learns(p):
            suits = np.maximum(cdf((c.damp_pt + damper) / c.damp_sd) - c.dry, 0.0)
            chance = cdf((c.reserve_pt + less) / c.reserve_sd) * suits * c.soft
        total = total + readiness.shifted(chance, shift[:, None])
    return np.asarray(slip + (1.0 - 2.0 * slip) * total / panel.shift_logit.shape[0])
