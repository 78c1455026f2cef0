"""A reason with its weight, so that the worst comes first; and one entry with what is concluded about it so
far.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules.case import Case
from coaching.rules.conclusions import Deadline, Reason
from coaching.rules.event_needs import closes_on
from coaching.rules.facts import EntryFact
from coaching.rules.numbers import EntryNumbers

FIRST, UNKNOWN, GATED, BY_EFFECT = 0, 1, 2, 3
ORDER = (
    "medical", "silence", "split", "tear", "pink", "disagreement", "agent", "glassy", "reserve", "dampness",
    "dryness", "load", "toughening", "air", "shedding", "layoff", "clash", "deadline",
)  # fmt: skip
PENDING = frozenset({"open", "due"})
HELPS_LATE = frozenset({"rest-start"})
"""Judgement: what was not begun by its last day and still helps when begun today."""


@dataclass(frozen=True)
class Weighed:
    reason: Reason
    effect_frac: float = 0.0  # how much p would rise without it
    rank: int = BY_EFFECT

    @property
    def sort_key(self) -> tuple[int, float, int, str]:
        return self.rank, -self.effect_frac, ORDER.index(self.reason.code), self.reason.site or ""


@dataclass(frozen=True)
class Question:
    """One entry of one athlete, with its level and deadlines."""

    case: Case
    entry: EntryFact
    level: str
    deadlines: tuple[Deadline, ...]

    @property
    def numbers(self) -> EntryNumbers:
        return self.case.numbers_for(self.entry)

    @property
    def as_of(self) -> date:
        return self.case.as_of

    @property
    def begun(self) -> bool:
        return self.as_of >= self.entry.first_day

    def part(self, code: str) -> float:
        """Rise of p if that one thing alone were as usual; 0 where the models do not say."""
        return self.numbers.parts.get(code, 0.0)

    def next_of(self, *kinds: str, site: str | None = None) -> date | None:
        """The next undone deadline of those kinds, on that site where one is named."""
        days = [
            one.latest
            for one in self.deadlines
            if one.kind in kinds and one.state in PENDING and site in (None, one.site)
        ]
        return min(days, default=None)

    def act_by(self, *kinds: str) -> date:
        """The next undone deadline of those kinds; today for a rest that is overdue and helps from any day on;
        else the last day to settle what to fall back on.
        """
        overdue = any(one.kind in HELPS_LATE and one.state == "missed" for one in self.deadlines)
        if overdue and HELPS_LATE.intersection(kinds):
            return self.as_of
        return self.next_of(*kinds) or self.settle_by

    @property
    def settle_by(self) -> date:
        """The day on which entries close while it is ahead, else the eve of the event; once begun, today."""
        if self.begun:
            return self.as_of
        closes, eve = closes_on(self.case, self.entry), self.entry.first_day - timedelta(days=1)
        return min(closes, eve) if closes and closes >= self.as_of else eve


def frac(value: float) -> float:
    return round(value, 3)
