"""Days, damage and states of entries, padded to one shape, and readiness of a case with one thing changed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science import skin
from coaching.science.healing_times import PACES
from coaching.science.inputs import Bools, Course, Floats, Ints, Targets
from coaching.science.nodes import node_mean
from coaching.science.panel import Panel
from coaching.science.quantities import Parameters
from coaching.science.readiness import at_nodes


@dataclass(frozen=True)
class Frame:
    """Days and damage of M entries, padded to the longest event and to the most episodes."""

    athlete: Ints  # (M,)
    day: Ints  # (M, D) columns
    within: Bools  # (M, D) the day belongs to the event
    trip: Bools  # (M,)
    episode: Ints  # (M, J)
    weight: Floats  # (M, J), 0 where padded


@dataclass(frozen=True)
class Case:
    """Everything that one answer is computed from; parts are the same case with one thing changed."""

    course: Course
    state: skin.State
    frame: Frame
    panel: Panel
    factors: Floats  # (J, PACES, M, D) damage by episode
    p: Parameters

    def pick(self, values: Floats) -> Floats:
        """Take (T, N) to (M, D)."""
        return np.ascontiguousarray(values[self.frame.day, self.frame.athlete[:, None]])

    def damage(self, without: int | None = None) -> Floats:
        """All damage of an entry by fifth of pace, one episode left out if asked, (PACES, M, D)."""
        total = np.ones((PACES, *self.frame.day.shape))
        for j in range(self.factors.shape[0]):
            total = total if j == without else total * self.factors[j]
        return total


def frame(course: Course, targets: Targets) -> Frame:
    """Return days and episodes of entries as padded arrays.

    Parameters: course; targets.
    Returns: Frame.
    Raises: ValueError where an event lies outside the course or begins before the origin.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_entries.py.
    """
    if np.any(targets.last >= course.days) or np.any(targets.first > targets.last):
        raise ValueError("an event must end within the course, not before it begins")
    if np.any(targets.last < course.origin):
        raise ValueError("an event must not lie before the origin")
    first = np.maximum(targets.first, course.origin)
    span = int((targets.last - first).max(initial=0)) + 1
    day = first[:, None] + np.arange(span)
    matters = targets.weight > 0
    most = int(matters.sum(axis=1).max(initial=0))
    order = np.argsort(~matters, axis=1, kind="stable")[:, :most]
    weight = np.take_along_axis(targets.weight, order, axis=1)
    last = targets.last[:, None]
    return Frame(targets.athlete, np.minimum(day, last), day <= last, targets.trip, order, weight)


def case(
    course: Course, state: skin.State, panel: Panel, left: Floats, targets: Targets, p: Parameters
) -> Case:
    """Return everything that the entries' answers are computed from.

    Parameters: course; state; panel (whole course, shifts included); left (PACES, E, H from the origin to
        the course's end), what damage leaves of the chance; targets; p.
    Returns: Case.
    Raises: ValueError as `frame`.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_entries.py.
    """
    f = frame(course, targets)
    small = panel.picked(f.athlete, f.day)
    factors = np.ones((f.episode.shape[1], PACES, *f.day.shape))
    for j in range(f.episode.shape[1]):
        index = (slice(None), f.episode[:, j][:, None], f.day - course.origin)
        factors[j] = 1.0 - f.weight[:, j][:, None] * (1.0 - left[index])
    return Case(course, state, f, small, factors, p)


def least(values: Floats, within: Bools, trip: Bools) -> tuple[Floats, Ints]:
    """Return readiness and the day it is read on: the least day of a competition, day one of a trip.

    Parameters: values (M, D), 0-1; within (M, D); trip (M,).
    Returns: (M,) 0-1; (M,) index of the day.
    Raises: nothing.
    Assumes: at least one day.
    Source: definition of readiness (glossary); tests/unit/test_entries.py.
    """
    at = np.where(trip, 0, np.where(within, values, np.inf).argmin(axis=1))
    return values[np.arange(values.shape[0]), at], at


def chance_of(c: Case, panel: Panel, damage: Floats) -> Floats:
    """Return readiness for a case with one thing changed.

    Parameters: c; panel (M, D), the states as changed; damage (PACES, M, D), 0-1.
    Returns: (M,), 0-1.
    Raises: nothing.
    Assumes: nothing.
    Source: definition of readiness (glossary); tests/unit/test_entries.py.
    """
    return least(node_mean(at_nodes(panel, damage, c.p)), c.frame.within, c.frame.trip)[0]
