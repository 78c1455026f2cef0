"""A plan as it is shown and answered: frozen values, chances 0-1."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from coaching.rules.planning_values import Action
from coaching.rules.trial_standing import OwnWord


@dataclass(frozen=True)
class PlanEntry:
    """One event before and after the plan, and under the fixed list of last days, all by the whole model."""

    event_id: str
    name: str
    first_day: date
    priority: int | None
    p_before: float
    low_before: float
    high_before: float
    p: float
    low: float
    high: float
    gain: float
    gain_low: float
    gain_high: float
    p_fixed_list: float


@dataclass(frozen=True)
class PlanStep:
    """One form on a run of days. Gain and range: what the plan would lose without it for the event that counts most."""

    kind: str  # care, rest, half
    verb: str
    form: str
    part: str
    strength: str | None
    days: tuple[date, ...]
    rule: str
    how: str
    caution: str
    source: str
    rank: int
    gain: float
    low: float
    high: float
    own_trial: OwnWord | None = None  # what the athlete's own trials say of the form


@dataclass(frozen=True)
class Planned:
    """A plan of one athlete. `why_none`: medical, no-event, nothing-allowed, nothing-better, or empty."""

    as_of: date
    athlete_id: str
    entries: tuple[PlanEntry, ...] = ()
    actions: tuple[Action, ...] = ()
    steps: tuple[PlanStep, ...] = ()
    compared: int = 0
    dropped: int = 0  # plans that the rulebook refused after all; nil unless the two disagree
    proved: bool = True
    share: dict[str, float] = field(default_factory=dict)  # done in practice, by verb
    why_none: str = ""
    digest: str = ""
    left_out: tuple[tuple[str, OwnWord], ...] = ()  # agents that did nothing for this athlete in a trial of their own
