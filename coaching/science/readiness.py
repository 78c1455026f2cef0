"""Chance that skin does not limit a session: enough reserve, neither too dry nor too damp, not glassy,
nothing unsound.
"""

from __future__ import annotations

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.healing_times import PACES
from coaching.science.inputs import KINDS, Course, Episodes, Floats
from coaching.science.limits import Conditions
from coaching.science.nodes import NODES, cell_quantiles
from coaching.science.normal import cdf
from coaching.science.panel import Panel, Spreads
from coaching.science.quantities import Parameters

PINK = KINDS.index("pink")
SHIFT_EDGES_SD = np.linspace(-3.25, 3.25, 14)
"""Cells of the personal shift of the odds, in prior sds."""


def suitable_dampness(
    panel: Panel, z: float, p: Parameters, shift_pt: Floats | float = 0.0, spreads: Spreads | None = None
) -> Floats:
    """Return the chance of suitable dampness at one node.

    Parameters: panel; z (score of dampness at the node); p; shift_pt ((R, 1), by which damper skin still suits);
        spreads (of this panel, else worked out here).
    Returns: (R, D), 0-1.
    Raises: nothing.
    Assumes: friction peaks between dry and wet.
    Source: Pasumarty et al. 2011 for the shape, limits assumed; tests/unit/test_readiness.py.
    """
    sd = spreads or Spreads.of(panel, p)
    below = cdf((p["too_damp_pt"] + shift_pt - panel.dampness_pt - z * sd.upper) / sd.dampness_noise)
    dry = cdf((p["too_dry_pt"] - panel.dampness_pt - z * sd.dampness_known) / sd.dry)
    return np.maximum(below - dry, 0.0)


def soft_enough(panel: Panel, p: Parameters) -> Floats:
    """Return the chance that skin is not glassy.

    Parameters: panel; p.
    Returns: (R, D), 0-1.
    Raises: nothing.
    Assumes: nothing.
    Source: common practice, no source; limit assumed; tests/unit/test_readiness.py.
    """
    sd = np.sqrt(panel.hardness_var + p["session_hardness_sd_pt"] ** 2)
    return cdf((p["too_hard_pt"] - panel.hardness_pt) / sd)


def enough_reserve(
    panel: Panel, z: float, p: Parameters, shift_pt: Floats | float = 0.0, spreads: Spreads | None = None
) -> Floats:
    """Return the chance of enough reserve at one node.

    Parameters: panel; z (score of reserve at the node); p; shift_pt ((R, 1), by which less reserve is enough);
        spreads (of this panel, else worked out here).
    Returns: (R, D), 0-1.
    Raises: nothing.
    Assumes: day-to-day noise is normal and is integrated out.
    Source: assumption; tests/property/test_load_monotone.py.
    """
    sd = spreads or Spreads.of(panel, p)
    above = panel.reserve_pt + shift_pt + z * sd.reserve_known - p["enough_reserve_pt"]
    return cdf(above / sd.reserve_noise)


def shifted(chance: Floats, shift_logit: Floats) -> Floats:
    """Return a chance moved by a personal shift of its odds.

    Parameters: chance (any shape, 0-1); shift_logit (broadcastable).
    Returns: same shape, 0-1.
    Raises: nothing.
    Assumes: nothing.
    Source: definition of log odds; tests/unit/test_readiness.py.
    """
    odds = np.exp(shift_logit)
    return chance * odds / (1.0 - chance + chance * odds)


def at_nodes(panel: Panel, damage: Floats | None, p: Parameters) -> Floats:
    """Return the chance that skin does not limit a session, at every node.

    Parameters: panel; damage (PACES, R, D), 0-1, factor of damage by fifth of pace, or None to leave it out; p.
    Returns: (COUNT, R, D), 0-1.
    Raises: nothing.
    Assumes: the conditions are independent given the node; one personal shift of the odds covers what they miss.
    Source: assumption; tests/unit/test_readiness.py.
    """
    soft, spreads = soft_enough(panel, p), Spreads.of(panel, p)
    result = np.empty((NODES.reserve_z.shape[0], *panel.reserve_pt.shape))
    for node in range(result.shape[0]):
        less, damper = panel.limits(node)
        suits = suitable_dampness(panel, NODES.dampness_z[node], p, damper, spreads)
        chance = enough_reserve(panel, NODES.reserve_z[node], p, less, spreads) * suits * soft
        chance = shifted(chance, panel.shift_logit[node][:, None])
        result[node] = chance if damage is None else chance * damage[NODES.pace_fifth[node]]
    return result


def answers_told(answer: Floats, panel: Panel, before: Floats, p: Parameters) -> Floats:
    """Return what answers say of the personal shift of the odds, added to what earlier ones said.

    Parameters: answer (N, D), as from `usable_answers`; panel (N, D, the same days); before (cells, N), log
        likelihood; p.
    Returns: (cells, N), log likelihood by cell of the shift.
    Raises: nothing.
    Assumes: a small share of answers are slips.
    Source: Bayes' rule on a grid of cells; tests/property/test_answers.py.
    """
    edges = SHIFT_EDGES_SD * p.spread("personal_shift_logit")
    expected, slip = expected_chance(panel, p), p["answer_slip_frac"]
    total = before.copy()
    for cell, shift in enumerate(0.5 * (edges[1:] + edges[:-1])):
        fine = slip + (1.0 - 2.0 * slip) * shifted(expected, shift)
        told = np.where(np.isnan(answer), 0.0, np.log(np.where(answer > 0.5, 1.0 - fine, fine)))
        for day in np.ascontiguousarray(told.T):
            total[cell] += day
    return total


def shift_nodes(told: Floats, p: Parameters) -> Floats:
    """Return the personal shift of the odds at every node, learned from the athlete's own answers.

    Parameters: told (cells, N), as from `answers_told`; p.
    Returns: (COUNT, N), log odds; the prior where there is no answer.
    Raises: nothing.
    Assumes: answers of days with damage open say nothing of the rest.
    Source: Bayes' rule on a grid of cells; tests/property/test_answers.py.
    """
    edges = SHIFT_EDGES_SD * p.spread("personal_shift_logit")
    log_weight = np.log(np.diff(cdf(SHIFT_EDGES_SD)))[:, None] + told
    weight = np.exp(log_weight - log_weight.max(axis=0))
    return cell_quantiles(weight / ordered_sum(weight), edges, NODES.shift_u)


def conditions(panel: Panel, p: Parameters) -> Conditions:
    """Return how a day stands to each limit before any personal shift, everything not known in the sds.

    Parameters: panel; p.
    Returns: Conditions, (R, D).
    Raises: nothing.
    Assumes: the conditions are independent.
    Source: as `at_nodes`, in closed form; tests/unit/test_readiness.py.
    """
    spread = panel.reserve_known_var + panel.reserve_noise_var + p.spread("enough_reserve_pt") ** 2
    noise = panel.dampness_known_var + panel.dampness_noise_var + p["session_dampness_sd_pt"] ** 2
    return Conditions(
        reserve_pt=panel.reserve_pt - p["enough_reserve_pt"],
        reserve_sd=np.sqrt(spread + p["session_reserve_sd_pt"] ** 2),
        damp_pt=p["too_damp_pt"] - panel.dampness_pt,
        damp_sd=np.sqrt(noise + p.spread("too_damp_pt") ** 2),
        dry=cdf((p["too_dry_pt"] - panel.dampness_pt) / np.sqrt(noise + p.spread("too_dry_pt") ** 2)),
        soft=soft_enough(panel, p),
    )


def expected_chance(panel: Panel, p: Parameters) -> Floats:
    """Return the chance of a day before any personal shift, everything not known integrated out.

    Parameters: panel; p.
    Returns: (R, D), 0-1.
    Raises: nothing.
    Assumes: as `conditions`.
    Source: as `at_nodes`, in closed form; tests/unit/test_readiness.py.
    """
    c = conditions(panel, p)
    enough = cdf(c.reserve_pt / c.reserve_sd)
    return enough * np.maximum(cdf(c.damp_pt / c.damp_sd) - c.dry, 0.0) * c.soft


def usable_answers(course: Course, episodes: Episodes) -> Floats:
    """Return the answers up to the origin that speak of the whole skin: no damage was unsound that day.

    Parameters: course; episodes.
    Returns: (N, T), 1 limited, 0 not, NaN not known or not used.
    Raises: nothing.
    Assumes: damage is unsound from the day it was noticed until it was first seen sound; pink tips are worn skin
        and no damage.
    Source: judgement; tests/property/test_answers.py.
    """
    answer = np.where(np.arange(course.days) <= course.origin, course.limited, np.nan)
    told = (episodes.athlete, episodes.kind, episodes.noticed, episodes.stage, episodes.stage_since)
    for row, kind, noticed, stage, since in zip(*told, strict=True):
        if kind == PINK:
            continue
        until = since if stage == 4 else course.days
        answer[row, max(noticed, 0) : max(until, 0)] = np.nan
    over = episodes.finished
    for row, noticed, until in zip(over.athlete, over.noticed, over.sound_by, strict=True):
        answer[row, max(noticed, 0) : max(until, 0)] = np.nan
    return answer


def left_by_damage(episodes: Episodes, usable: Floats, sound: Floats, p: Parameters) -> Floats:
    """Return what each piece of damage leaves of the chance of an unhurt start.

    Parameters: episodes (E); usable, sound (PACES, E, H), 0-1; p.
    Returns: (PACES, E, H), 0-1.
    Raises: nothing.
    Assumes: under tape a good half of the unhurt chance is left, more once a taped try went well; until usable,
        none. Pink tips take a part of that only: they can be climbed on.
    Source: judgement: tape costs feel; tests/unit/test_readiness.py.
    """
    tape = np.where(episodes.tried, p["taped_tried_share"], p["taped_share"])[:, None]
    matters = np.where(episodes.kind == PINK, p["pink_matters_share"], 1.0)[:, None]
    return np.asarray(1.0 - matters * (1.0 - (sound + (usable - sound) * tape)))


def whole_damage(course: Course, episodes: Episodes, left: Floats) -> Floats:
    """Return the factor of all damage of each athlete by fifth of pace and day, 1 before the origin.

    Parameters: course; episodes; left (PACES, E, H from the origin), as `left_by_damage`.
    Returns: (PACES, N, T), 0-1.
    Raises: nothing.
    Assumes: every episode matters; damage of past days is history, not forecast.
    Source: as `left_by_damage`; tests/unit/test_readiness.py.
    """
    result = np.ones((course.athletes, PACES, course.days))
    ahead = course.days - course.origin
    np.multiply.at(result[:, :, course.origin :], episodes.athlete, np.moveaxis(left, 0, 1)[:, :, :ahead])
    return np.ascontiguousarray(np.moveaxis(result, 1, 0))
