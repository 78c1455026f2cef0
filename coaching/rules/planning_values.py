"""What the planner reads and gives: actions on days, what each changes, which may stand together, and plans."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

SCALE = 1000
"""Whole numbers of the objective are thousandths of a point of margin."""


@dataclass(frozen=True)
class Action:
    """One thing that could be put into the plan of one day. Kinds: care, rest (no load), half (half the load)."""

    day: date
    kind: str
    verb: str
    form: str
    part: str
    strength: str | None = None


@dataclass(frozen=True)
class AtMost:
    """No more than `most` of these actions."""

    which: tuple[int, ...]
    most: int


@dataclass(frozen=True)
class Needs:
    """An action that stands only together with one of the others, or never where there are none."""

    action: int
    one_of: tuple[int, ...]


@dataclass(frozen=True)
class Choices:
    """All actions that the rulebook allows one athlete, each by itself, and how they limit each other."""

    actions: tuple[Action, ...]
    at_most: tuple[AtMost, ...] = ()
    needs: tuple[Needs, ...] = ()


@dataclass(frozen=True)
class EventDay:
    """Margins of one day of an event without any action, and what each action adds, in thousandths of a point."""

    reserve: int  # reserve above the limit
    dampness: int
    hardness: int
    adds_reserve: tuple[int, ...]
    adds_dampness: tuple[int, ...]
    adds_hardness: tuple[int, ...]


@dataclass(frozen=True)
class Goal:
    """Days of one event. A competition counts by its worst day, a trip by the sum of its days."""

    event_id: str
    weight: int  # of the worst day, or of each day of a trip
    trip: bool
    days: tuple[EventDay, ...]


@dataclass(frozen=True)
class Bounds:
    """Where margins end, in thousandths of a point: more reserve than enough is worth no more."""

    plenty: int
    dry_below: int
    damp_above: int
    glassy_above: int


@dataclass(frozen=True)
class Problem:
    """What is solved: whole numbers only, so that the same question has the same answer anywhere."""

    actions: int
    goals: tuple[Goal, ...]
    costs: tuple[int, ...]  # what an action costs training and patience, weighed like the goals
    bounds: Bounds
    at_most: tuple[AtMost, ...] = ()
    needs: tuple[Needs, ...] = ()


@dataclass(frozen=True)
class Plan:
    """Indices of the actions taken, in order; what it is worth by the additive count; whether that is proved best."""

    taken: tuple[int, ...]
    worth: int
    proved: bool = True
