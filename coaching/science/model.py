"""A complete model under a version id: filter, healing, chance of every day, readiness of entries."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from coaching.science import healing as healing_math
from coaching.science import skin
from coaching.science.answering import taught
from coaching.science.edited import Edited, Edits, edited_chance, edited_means
from coaching.science.entries import entry_chance, with_pink
from coaching.science.entry_case import Case, case
from coaching.science.footing import Footing
from coaching.science.healing_again import load_ahead
from coaching.science.healing_times import PACES
from coaching.science.helping import Help, helping
from coaching.science.inputs import Bools, Course, Episodes, Floats, Ints, Targets
from coaching.science.nodes import NODES, node_mean, node_quantiles
from coaching.science.outputs import Chance, EntryChance, Estimate, Healing
from coaching.science.own_ranges import asks, own_ranges
from coaching.science.panel import Panel
from coaching.science.quantities import Parameters
from coaching.science.readiness import at_nodes, left_by_damage, whole_damage
from coaching.science.reported import Reported, reported
from coaching.science.reserve import forward_means
from coaching.science.skin import State

ROWS_AT_ONCE = 64


@dataclass(frozen=True)
class Model:
    """One version of the skin model; frozen, so that an old id stays runnable and unchanged."""

    version: str
    parameters: Parameters

    def filter(
        self, course: Course, *, footing: Footing | None = None, keep: int = -1
    ) -> tuple[Estimate, State]:
        """Return the filtered and predicted states of a batch.

        Parameters: course (N athletes, T days); footing (of the same athletes, to go on from; None for the
            whole course); keep (column of a morning for which `footing` will be asked, -1 none).
        Returns: Estimate; State, opaque, to hand to `chance` and `entries` so that they need not filter
            again.
        Raises: ValueError where the origin is not a column of the course, or the footing lies after it.
        Assumes: missing days are skipped, never read as well or unwell.
        Source: Durbin & Koopman 2012, 4.3 and 4.10; tests/reference/test_state_space.py.
        """
        state = skin.follow(course, self.parameters, footing, keep)
        return skin.estimate(state, self.parameters), state

    def footing(self, course: Course, episodes: Episodes, state: State, at: int) -> Footing:
        """Return what the filters held on the morning that `filter` was told to keep.

        Parameters: course; episodes; state (from `filter`, told to keep that morning); at (its column).
        Returns: Footing, from which a later pass can go on.
        Raises: ValueError where that morning was not kept.
        Assumes: nothing before the morning changes afterwards; `digests` tells whether it did.
        Source: bookkeeping; tests/property/test_footing.py.
        """
        return skin.stood(course, state, episodes, self.parameters, at)

    def heal(self, course: Course, episodes: Episodes, horizon_days: int) -> Healing:
        """Return the course of each episode from the origin.

        Parameters: course; episodes (E); horizon_days (H, >= 1).
        Returns: Healing.
        Raises: ValueError for a horizon below one day.
        Assumes: the plan of the course is what happens; versions up to 2026.3 know of no re-opening under load.
        Source: judgement; working ranges are common practice, no source;
            tests/reference/test_healing_ranges.py.
        """
        load = load_ahead(course, episodes, max(horizon_days, healing_math.LONGEST_D + 1), self.parameters)
        return healing_math.healing(episodes, course.origin, horizon_days, self.parameters, load)

    def chance(
        self,
        course: Course,
        episodes: Episodes,
        *,
        state: State | None = None,
        load_plan_slu: Floats | None = None,
        damage_factor: Floats | None = None,
        first: int = 0,
    ) -> Chance:
        """Return for every day the chance that skin does not limit a planned session.

        Parameters: course; episodes; state (from `filter`, else filtered here); load_plan_slu (N, T), another
            plan, compared with the spread of the plan at hand; damage_factor (N, T), 0-1, for episodes; first
            (column), the first day that is wanted.
        Returns: Chance; days before the origin from the filtered state, their damage left out unless given;
            NaN before `first`.
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
            left = left_by_damage(episodes, healed.usable, healed.sound, p)
            damage = whole_damage(course, episodes, left)
        else:
            damage = np.broadcast_to(damage_factor, (PACES, *damage_factor.shape))
        return daily_chance(panel, damage, p, first)

    def skin_chance(
        self, course: Course, episodes: Episodes, days: slice, *, state: State | None = None
    ) -> Floats:
        """Return for some days the chance that skin does not limit a session, damage left out.

        Parameters: course; episodes (their days teach nothing of the rest); days (columns); state (from
            `filter`, else filtered here).
        Returns: (N, days), 0-1; the same as `p_skin` of `chance`.
        Raises: ValueError where the origin is not a column of the course.
        Assumes: nothing.
        Source: definition of readiness (glossary); tests/property/test_batches.py.
        """
        panel = self._panel(course, self._state(course, state), episodes).columns(days)
        blocks = range(0, course.athletes, ROWS_AT_ONCE)
        rows = (panel.rows(slice(start, start + ROWS_AT_ONCE)) for start in blocks)
        return np.concatenate([node_mean(at_nodes(some, None, self.parameters)) for some in rows])

    def reported(self, course: Course, *, state: State | None = None, days: slice | Ints = slice(None)) -> Reported:
        """Return quantiles of the ratings of reserve and dampness that each athlete would report on some days.

        Parameters: course; state (from `filter`, else filtered here); days (columns: a slice or indices).
        Returns: Reported, (7, N, days) pt at the chances `reported.LEVELS`.
        Raises: ValueError where the origin is not a column of the course.
        Assumes: as `rating_quantiles`; up to the origin the day's own rating is taken in already.
        Source: as `rating_quantiles`; tests/unit/test_reported.py.
        """
        panel = self._state(course, state).panel(self.parameters)
        own = own_ranges(course, panel, self.parameters).columns(days) if asks(self.parameters) else None
        return reported(panel.columns(days), course.half_step_pt[:, days], self.parameters, own)

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
        healed = self._slices(course, episodes)
        c = self._case(course, episodes, targets, self._state(course, state), healed)
        return with_pink(entry_chance(c, healed), episodes)

    def helping(
        self,
        course: Course,
        episodes: Episodes,
        targets: Targets,
        may: Mapping[str, Bools],
        *,
        state: State | None = None,
    ) -> Help:
        """Return what would help each entry most: one change of its plan at a time, ranked.

        Parameters: course; episodes (E); targets (M entries); may (option -> (M,), whether rules and label let this
            entry take it; absent: it may not); state (from `filter`, else filtered here).
        Returns: Help.
        Raises: ValueError where an event lies outside the course, or an option is not known.
        Assumes: as `helping.helping`; the caller has asked the rules.
        Source: judgement (one edit at a time from the same state); tests/property/test_helping.py.
        """
        healed = self._slices(course, episodes)
        return helping(self._case(course, episodes, targets, self._state(course, state), healed), may)

    def edited_means(
        self, course: Course, episodes: Episodes, targets: Targets, edits: Edits, *, state: State | None = None
    ) -> dict[str, Floats]:
        """Return the mean state on the days of each target under its edits.

        Parameters: course; episodes (E); targets (M rows, an athlete's repeated for each plan); edits (M rows);
            state (from `filter`, else filtered here).
        Returns: means by name of the panel's field, (M, D) pt.
        Raises: ValueError where an event lies outside the course, or rows differ in number.
        Assumes: as `edited.edited_means`.
        Source: as the forward runs; tests/unit/test_edited.py.
        """
        healed = self._slices(course, episodes)
        return edited_means(self._case(course, episodes, targets, self._state(course, state), healed), edits)

    def edited_chance(
        self,
        course: Course,
        episodes: Episodes,
        targets: Targets,
        edits: Edits,
        against: Ints,
        *,
        state: State | None = None,
    ) -> Edited:
        """Return readiness of each target under its edits.

        Parameters: course; episodes (E); targets (M rows, an athlete's repeated for each plan); edits (M rows);
            against (M,), the row that each is compared with; state (from `filter`, else filtered here).
        Returns: Edited.
        Raises: ValueError where an event lies outside the course, or rows differ in number.
        Assumes: as `edited.edited_chance`; the caller has asked the rules.
        Source: definition of readiness (glossary); tests/unit/test_edited.py.
        """
        healed = self._slices(course, episodes)
        c = self._case(course, episodes, targets, self._state(course, state), healed)
        return edited_chance(c, edits, against)

    def _case(
        self, course: Course, episodes: Episodes, targets: Targets, known: State, healed: healing_math.Slices
    ) -> Case:
        left = left_by_damage(episodes, healed.usable, healed.sound, self.parameters)
        return case(course, known, self._panel(course, known, episodes), left, targets, self.parameters)

    def _state(self, course: Course, state: State | None) -> State:
        return skin.follow(course, self.parameters) if state is None else state

    def _slices(self, course: Course, episodes: Episodes) -> healing_math.Slices:
        load = load_ahead(course, episodes, course.days - course.origin, self.parameters)
        return healing_math.slices(episodes, course.origin, course.days - course.origin, self.parameters, load)

    def _panel(self, course: Course, state: State, episodes: Episodes) -> Panel:
        told = skin.told(course, state, episodes, self.parameters, state.origin + 1)
        return taught(state.panel(self.parameters), told, self.parameters)


def daily_chance(panel: Panel, damage: Floats, p: Parameters, first: int = 0) -> Chance:
    """Return mean and ranges of the chance over the nodes, some athletes at a time.

    Parameters: panel (N, T); damage (PACES, N, T), 0-1; p; first (column), the first day that is wanted.
    Returns: Chance; NaN before `first`.
    Raises: nothing.
    Assumes: athletes are independent, so the size of a block changes no bit.
    Source: definition of readiness (glossary); tests/property/test_batches.py.
    """
    athletes, days = panel.reserve_pt.shape
    out = np.full((6, athletes, days), np.nan)
    wanted = panel.columns(slice(first, None))
    for start in range(0, athletes, ROWS_AT_ONCE):
        rows = slice(start, start + ROWS_AT_ONCE)
        skin_only = at_nodes(wanted.rows(rows), None, p)
        nodes = skin_only * damage[NODES.pace_fifth, rows, first:]
        out[0, rows, first:], out[5, rows, first:] = node_mean(nodes), node_mean(skin_only)
        out[1:5, rows, first:] = node_quantiles(nodes, (0.1, 0.9, 0.25, 0.75))
    out[1], out[2] = np.minimum(out[1], out[0]), np.maximum(out[2], out[0])
    return Chance(*out)
