"""What the models read: facts of a batch of athletes as arrays in fixed units, athletes first, then days."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

INGREDIENTS: tuple[str, ...] = ("methenamine", "aluminium", "iontophoresis")
"""Order of the last axis of every dose array."""

STAGES: tuple[str, ...] = ("open", "closing", "rimmed", "thinned", "sound")
"""Order of `Episodes.stage`; -1 means that nobody has looked since the damage was noticed."""

PLACES: tuple[str, ...] = ("pad", "crease", "other")
"""Order of `Episodes.place`: the pads and tips, the creases, everything else of the hand."""

KINDS: tuple[str, ...] = ("split", "flapper", "tear", "blister", "cut", "graze", "holed", "pink")
"""Order of `Episodes.kind`; pink is a tip worn thin, told by a mark and not by a record of damage."""


@dataclass(frozen=True)
class TriedAgents:
    """K results of athletes' own trials that the ratings of a course do not hold already: each an answer of its own."""

    athlete: Ints  # (K,) row of the athlete in the course
    column: Ints  # (K,) the day it was read, the first column where that lies before it
    ingredient: Ints  # (K,) index into INGREDIENTS
    effect_pt: Floats  # (K,) points of dampness that a full effect takes away
    sd_pt: Floats  # (K,) > 0


def none_tried() -> TriedAgents:
    """Return no results of trials.

    Parameters: none.
    Returns: TriedAgents, K nil.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_trial_evidence.py.
    """
    no, none = np.zeros(0, dtype=np.int64), np.zeros(0)
    return TriedAgents(no, no, no, none, none)


@dataclass(frozen=True)
class Course:
    """Facts of N athletes over T local days.

    Column `origin` is the day of the assessment; a session or an agent on day t acts between the morning of t
    and the morning of t + 1, ratings are those of the morning. NaN means not known, never zero. Nothing
    observed stands right of `origin`; planned arrays do.
    """

    first_ordinal: int  # proleptic ordinal (date.toordinal) of column 0
    origin: int
    reserve_pt: Floats  # (N, T) 0-10 on the athlete's own scale
    dampness_pt: Floats  # (N, T)
    hardness_pt: Floats  # (N, T)
    half_step_pt: Floats  # (N, T) half width of a rating: 0.5, or 1.0 where answers go by twos
    limited: Floats  # (N, T) 1 skin limited the session, 0 it did not, NaN not answered
    load_done_slu: Floats  # (N, T) skin load of the day; 0 a day known to be without load
    load_plan_slu: Floats  # (N, T) as planned; NaN no plan known for that day
    load_trip_slu: Floats  # (N, T) a day of a trip ahead of which no plan is known; NaN no such day
    strain_done_au: Floats  # (N, T) minutes x effort of the day, body load; NaN not known
    dose_done: Floats  # (N, T, I) 0-1 agent dose of the day by ingredient
    dose_plan: Floats  # (N, T, I)
    filed_done: Floats  # (N, T) 1 sanded or levelled that day
    moist_done: Floats  # (N, T) 1 softened that day
    temp_c: Floats  # (N, T) air at the place of the session, NaN not known
    rh_pct: Floats  # (N, T)
    answered: Bools  # (N, T) a check-in of that day tells of the skin
    tried: TriedAgents = field(default_factory=none_tried)  # read by the filter of dampness alone

    @property
    def athletes(self) -> int:
        return int(self.reserve_pt.shape[0])

    @property
    def days(self) -> int:
        return int(self.reserve_pt.shape[1])


@dataclass(frozen=True)
class Finished:
    """F episodes that were last seen sound: what they tell of their athletes; days as those of `Episodes`."""

    athlete: Ints  # (F,) row of the athlete in the course
    kind: Ints  # (F,) index into KINDS
    place: Ints  # (F,) index into PLACES
    deep: Floats  # (F,) 1 deep, 0 shallow, NaN not known
    noticed: Ints  # (F,) column of the day it was noticed
    begun: Ints  # (F,) the same, or of the look that found it open again
    shut_after: Ints  # (F,) column of the last look that found it not yet closed, or of `begun`
    shut_by: Ints  # (F,) column of the first look since then that found it closed
    sound_after: Ints  # (F,) column of the last look before it was sound, or of `begun`
    sound_by: Ints  # (F,) column of the first look that found it sound
    balm_share: Floats  # (F,) 0-1 share of looked-at nights with balm and cover, NaN not known
    reopened: Ints  # (F,) how often a look found it open that had been found closed
    closed_d: Ints  # (F,) days between looks of which the first found it closed and not sound


def none_finished() -> Finished:
    """Return no finished episodes.

    Parameters: none.
    Returns: Finished, F nil.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_healing_history.py.
    """
    no, none = np.zeros(0, dtype=np.int64), np.zeros(0)
    return Finished(no, no, no, none, no, no, no, no, no, no, none, no, no)


@dataclass(frozen=True)
class Episodes:
    """E damage episodes of the athletes of one `Course`; days are its columns and may be negative."""

    athlete: Ints  # (E,) row of the athlete in the course
    kind: Ints  # (E,) index into KINDS
    place: Ints  # (E,) index into PLACES
    deep: Floats  # (E,) 1 deep, 0 shallow, NaN not known
    noticed: Ints  # (E,) column of the day it was noticed
    looked: Ints  # (E,) column of the last look, or of `noticed` where nobody looked
    stage: Ints  # (E,) index into STAGES at the last look, or -1
    stage_since: Ints  # (E,) column of the first look of the present run of that stage
    shut_after: Ints  # (E,) column of the last look that found it not yet closed, or of `noticed`
    shut_by: Ints  # (E,) column of the first look since then that found it closed, or of `looked`
    pain: Floats  # (E,) 0-10 on a firm pull at the last look that asked, NaN not asked
    opens: Floats  # (E,) 1 it opens on a pull at the last look that asked, 0 it does not, NaN not asked
    balm_share: Floats  # (E,) 0-1 share of looked-at nights with balm and cover, NaN not known
    tried: Bools  # (E,) a taped try of this damage went well and no later look found it open
    taped: Floats  # (E,) 1 the last look that asked found it taped, 0 not, NaN not asked
    begun: Ints  # (E,) as `noticed`, or column of the look that found it open again
    reopened: Ints  # (E,) how often a look found it open that had been found closed
    closed_d: Ints  # (E,) days between looks of which the first found it closed and not sound
    finished: Finished = field(default_factory=none_finished)  # of the same athletes, seen sound by the origin

    def rows(self, rows: Ints) -> Episodes:
        """Some episodes, with all that are finished."""
        own = {name: values[rows] for name, values in vars(self).items() if name != "finished"}
        return Episodes(**own, finished=self.finished)


@dataclass(frozen=True)
class Targets:
    """M entries: the days for which a chance is wanted, and which damage stands in their way."""

    athlete: Ints  # (M,) row in the course
    first: Ints  # (M,) column of the event's first day (> origin, or = origin)
    last: Ints  # (M,) column of its last day
    trip: Bools  # (M,) True trip, False competition
    weight: Floats  # (M, E) 0-1: how much episode e matters for entry m (0 another athlete's, or not needed)
