"""A complete model under a version id: filter, healing, chance of every day, readiness of entries."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science import healing as healing_math
from coaching.science import skin
from coaching.science.entries import entry_chance
from coaching.science.entry_case import case
from coaching.science.inputs import Course, Episodes, Floats, Targets
from coaching.science.nodes import node_mean, node_quantiles
from coaching.science.outputs import Chance, EntryChance, Estimate, Healing
from coaching.science.quantities import Parameters
from coaching.science.readiness import Panel, at_nodes, shift_nodes, whole_damage
from coaching.science.reserve import forward_means
from coaching.science.skin import State

ROWS_AT_ONCE = 64


@dataclass(frozen=True)
class Model:
    """One version of the skin model; frozen, so that an old id stays runnable and unchanged."""

    version: str
    parameters: Parameters

    def filter(self, course: Course) -> tuple[Estimate, State]:
        """Return the filtered and predicted states of a batch.

        Parameters: course (N athletes, T days).
        Returns: Estimate; State, opaque, to hand to `chance` and `entries` so that they need not filter
            again.
        Raises: ValueError where the origin is not a column of the course.
        Assumes: missing days are skipped, never read as well or unwell.
        Source: Durbin & Koopman 2012, 4.3 and 4.10; tests/reference/test_state_space.py.
        """
        state = skin.follow(course, self.parameters)
        return skin.estimate(state, self.parameters), state

    def heal(self, course: Course, episodes: Episodes, horizon_days: int) -> Healing:
        """Return the course of each episode from the origin.

        Parameters: course; episodes (E); horizon_days (H, >= 1).
        Returns: Healing.
        Raises: ValueError for a horizon below one day.
        Assumes: no re-opening under load.
        Source: judgement; working ranges are common practice, no source;
            tests/reference/test_healing_ranges.py.
        """
        return healing_math.healing(episodes, course.origin, horizon_days, self.parameters)

    def chance(
        self,
        course: Course,
        episodes: Episodes,
        *,
        state: State | None = None,
        load_plan_slu: Floats | None = None,
        damage_factor: Floats | None = None,
    ) -> Chance:
        """Return for every day the chance that skin does not limit a planned session.

        Parameters: course; episodes; state (from `filter`, else filtered here); load_plan_slu (N, T), another
            plan, compared with the spread of the plan at hand; damage_factor (N, T), 0-1, for episodes.
        Returns: Chance; days before the origin from the filtered state, their damage left out unless given.
        Raises: ValueError where the origin is not a column of the course.
        Assumes: all damage of the athlete matters.
        Source: definition of readiness (glossary); tests/property/test_load_monotone.py.
        """
        p, known = self.parameters, self._state(course, state)
        panel = self._panel(course, known, episodes)
        if load_plan_slu is not None:
            drive = skin.reserve_drive(course, load_plan_slu, p)
            means = forward_means(known.reserve, drive, known.origin, np.zeros(course.athletes), p)
            panel = panel.with_means(reserve_pt=np.ascontiguousarray(means.T))
        if damage_factor is None:
            healed = self._slices(course, episodes)
            damage = whole_damage(course, episodes, healed.usable, healed.sound, p)
        else:
            damage = np.broadcast_to(damage_factor, (healing_math.PACES, *damage_factor.shape))
        return daily_chance(panel, damage, p)

    def entries(
        self, course: Course, episodes: Episodes, targets: Targets, *, state: State | None = None
    ) -> EntryChance:
        """Return readiness of entries and what it is made of.

        Parameters: course; episodes (E); targets (M entries); state (from `filter`, else filtered here).
        Returns: EntryChance.
        Raises: ValueError where an event lies outside the course.
        Assumes: the plan of the course is what happens.
        Source: definition of readiness (glossary); tests/unit/test_entries.py.
        """
        p, known = self.parameters, self._state(course, state)
        healed = self._slices(course, episodes)
        c = case(course, known, self._panel(course, known, episodes), healed, targets, p)
        return entry_chance(c, healed)

    def _state(self, course: Course, state: State | None) -> State:
        return skin.follow(course, self.parameters) if state is None else state

    def _slices(self, course: Course, episodes: Episodes) -> healing_math.Slices:
        return healing_math.slices(episodes, course.origin, course.days - course.origin, self.parameters)

    def _panel(self, course: Course, state: State, episodes: Episodes) -> Panel:
        panel = state.panel(self.parameters)
        return panel.with_means(shift_logit=shift_nodes(course, panel, episodes, self.parameters))


def daily_chance(panel: Panel, damage: Floats, p: Parameters) -> Chance:
    """Return mean and ranges of the chance over the nodes, some athletes at a time.

    Parameters: panel (N, T); damage (PACES, N, T), 0-1; p.
    Returns: Chance.
    Raises: nothing.
    Assumes: athletes are independent, so the size of a block changes no bit.
    Source: definition of readiness (glossary); tests/property/test_batches.py.
    """
    athletes, days = panel.reserve_pt.shape
    out = np.empty((6, athletes, days))
    for start in range(0, athletes, ROWS_AT_ONCE):
        rows = slice(start, start + ROWS_AT_ONCE)
        skin_only = at_nodes(panel.rows(rows), None, p)
        nodes = at_nodes(panel.rows(rows), damage[:, rows], p)
        out[0, rows], out[5, rows] = node_mean(nodes), node_mean(skin_only)
        out[1:5, rows] = node_quantiles(nodes, (0.1, 0.9, 0.25, 0.75))
    out[1], out[2] = np.minimum(out[1], out[0]), np.maximum(out[2], out[0])
    return Chance(*out)
