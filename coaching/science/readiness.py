"""Chance that skin does not limit a session: enough reserve, neither too dry nor too damp, not glassy,
nothing unsound.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from coaching.science.dampness import DampnessTrack
from coaching.science.filtering import ordered_sum
from coaching.science.hardness import HardnessTrack
from coaching.science.healing_times import PACES
from coaching.science.inputs import KINDS, Course, Episodes, Floats, Ints
from coaching.science.limits import Conditions
from coaching.science.nodes import NODES, cell_quantiles
from coaching.science.normal import cdf
from coaching.science.quantities import Parameters
from coaching.science.reserve import ReserveTrack

PINK = KINDS.index("pink")
SHIFT_EDGES_SD = np.linspace(-3.25, 3.25, 14)
"""Cells of the personal shift of the odds, in prior sds."""
BY_NODE = frozenset({"shift_logit", "reserve_shift_pt", "damp_shift_pt"})


@dataclass(frozen=True)
class Panel:
    """States on R rows (athletes or entries) and D days, as far as readiness reads them; (R, D) each."""

    reserve_pt: Floats
    reserve_known_var: Floats
    reserve_noise_var: Floats
    dampness_pt: Floats
    dampness_known_var: Floats
    dampness_noise_var: Floats
    hardness_pt: Floats
    hardness_var: Floats
    shift_logit: Floats  # (COUNT, R) personal shift of the odds at each node
    reserve_shift_pt: Floats | None = None  # (COUNT, R) of the limits at each node; None where not learned apart
    damp_shift_pt: Floats | None = None

    def rows(self, rows: slice) -> Panel:
        """The same panel for some rows."""
        return self._with(lambda value: value[rows], lambda value: value[:, rows])

    def columns(self, days: slice | Ints) -> Panel:
        """The same panel for some days."""
        return self._with(lambda value: value[:, days], lambda value: value)

    def picked(self, rows: Ints, days: Ints) -> Panel:
        """Some days of some rows: rows (M,), days (M, D)."""
        return self._with(
            lambda value: np.ascontiguousarray(value[rows[:, None], days]),
            lambda value: np.ascontiguousarray(value[:, rows]),
        )

    def with_means(self, **means: Floats) -> Panel:
        """The same spread around other means."""
        return replace(self, **means)

    def limits(self, node: int) -> tuple[Floats | float, Floats | float]:
        """Shifts of the limits of reserve and dampness at a node, (R, 1)."""
        if self.reserve_shift_pt is None or self.damp_shift_pt is None:
            return 0.0, 0.0
        return self.reserve_shift_pt[node][:, None], self.damp_shift_pt[node][:, None]

    def _with(self, by_day: Callable[[Floats], Floats], by_node: Callable[[Floats], Floats]) -> Panel:
        changed = {
            name: by_node(value) if name in BY_NODE else by_day(value)
            for name, value in vars(self).items()
            if value is not None
        }
        return Panel(**changed)


def spread_ahead(days: int, origin: int, p: Parameters) -> Floats:
    """Return the factor by which forecast variances are widened.

    Parameters: days (count); origin (column); p.
    Returns: (T,), 1 up to the origin.
    Raises: nothing.
    Assumes: a new squad; grows evenly to 7 and to 14 days, then stays.
    Source: assumption: coverage of 80 % ranges in a simulated squad; tests/property/test_silence.py.
    """
    ahead = np.maximum(np.arange(days) - origin, 0).astype(np.float64)
    return np.interp(ahead, [0.0, 7.0, 14.0], [1.0, p["inflation_7d"], p["inflation_14d"]])


def widened(track: ReserveTrack | DampnessTrack, origin: int, p: Parameters) -> tuple[Floats, Floats]:
    """Return known and noise variance ahead, widened and never narrowing with the days.

    Parameters: track; origin (column); p.
    Returns: two arrays (T, N), pt2.
    Raises: nothing.
    Assumes: a plan teaches nothing: without a look, later days are never known better than earlier ones.
    Source: judgement; tests/property/test_silence.py.
    """
    factor = spread_ahead(track.mean_pt.shape[0], origin, p)[:, None]
    known, noise = factor * track.known_var, factor * track.noise_var
    known[origin:] = np.maximum.accumulate(known[origin:], axis=0)
    noise[origin:] = np.maximum.accumulate(noise[origin:], axis=0)
    return known, noise


def suitable_dampness(panel: Panel, z: float, p: Parameters, shift_pt: Floats | float = 0.0) -> Floats:
    """Return the chance of suitable dampness at one node.

    Parameters: panel; z (score of dampness at the node); p; shift_pt ((R, 1), by which damper skin still suits).
    Returns: (R, D), 0-1.
    Raises: nothing.
    Assumes: friction peaks between dry and wet.
    Source: Pasumarty et al. 2011 for the shape, limits assumed; tests/unit/test_readiness.py.
    """
    noise_sd = np.sqrt(panel.dampness_noise_var + p["session_dampness_sd_pt"] ** 2)
    known_sd = np.sqrt(panel.dampness_known_var)
    upper_sd = np.sqrt(panel.dampness_known_var + p.spread("too_damp_pt") ** 2)
    below = cdf((p["too_damp_pt"] + shift_pt - panel.dampness_pt - z * upper_sd) / noise_sd)
    dry_sd = np.sqrt(panel.dampness_noise_var + p["session_dampness_sd_pt"] ** 2 + p.spread("too_dry_pt") ** 2)
    return np.maximum(below - cdf((p["too_dry_pt"] - panel.dampness_pt - z * known_sd) / dry_sd), 0.0)


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


def enough_reserve(panel: Panel, z: float, p: Parameters, shift_pt: Floats | float = 0.0) -> Floats:
    """Return the chance of enough reserve at one node.

    Parameters: panel; z (score of reserve at the node); p; shift_pt ((R, 1), by which less reserve is enough).
    Returns: (R, D), 0-1.
    Raises: nothing.
    Assumes: day-to-day noise is normal and is integrated out.
    Source: assumption; tests/property/test_load_monotone.py.
    """
    noise_sd = np.sqrt(panel.reserve_noise_var + p["session_reserve_sd_pt"] ** 2)
    known_sd = np.sqrt(panel.reserve_known_var + p.spread("enough_reserve_pt") ** 2)
    return cdf((panel.reserve_pt + shift_pt + z * known_sd - p["enough_reserve_pt"]) / noise_sd)


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
    soft = soft_enough(panel, p)
    result = np.empty((NODES.reserve_z.shape[0], *panel.reserve_pt.shape))
    for node in range(result.shape[0]):
        less, damper = panel.limits(node)
        suits = suitable_dampness(panel, NODES.dampness_z[node], p, damper)
        chance = enough_reserve(panel, NODES.reserve_z[node], p, less) * suits * soft
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


def tracks_panel(
    tracks: tuple[ReserveTrack, DampnessTrack, HardnessTrack], origin: int, p: Parameters
) -> Panel:
    """Return the panel of a whole course, with the prior's shift left at nil.

    Parameters: tracks; origin (column); p.
    Returns: Panel, rows the athletes, days the course.
    Raises: nothing.
    Assumes: nothing.
    Source: as `widened`; tests/property/test_silence.py.
    """
    reserve, dampness, hardness = tracks
    reserve_known, reserve_noise = widened(reserve, origin, p)
    dampness_known, dampness_noise = widened(dampness, origin, p)
    shift = np.zeros((NODES.shift_u.shape[0], reserve.mean_pt.shape[1]))
    return Panel(
        reserve_pt=rows_first(reserve.mean_pt),
        reserve_known_var=rows_first(reserve_known),
        reserve_noise_var=rows_first(reserve_noise),
        dampness_pt=rows_first(dampness.mean_pt),
        dampness_known_var=rows_first(dampness_known),
        dampness_noise_var=rows_first(dampness_noise),
        hardness_pt=rows_first(hardness.mean_pt),
        hardness_var=rows_first(hardness.var),
        shift_logit=shift,
    )


def rows_first(by_day: Floats) -> Floats:
    """Return (T, N) as (N, T).

    Parameters: by_day (T, N).
    Returns: (N, T).
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/property/test_batches.py.
    """
    return np.ascontiguousarray(by_day.T)
