"""How a deadline stands on a day: open, due (within two days), done, missed; for things to do and for last
days.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules.case import Case
from coaching.rules.conclusions import Deadline
from coaching.rules.facts import EntryFact

DUE_DAYS = 2


@dataclass(frozen=True)
class Last:
    """A last safe day, before anyone asks how it stands. Without `rule` the deadline's own entry is its
    source.
    """

    kind: str
    latest: date  # from the late end of every duration
    median: date | None = None  # from the middle of every duration
    form: str | None = None
    site: str | None = None
    rule: str | None = None


def state(case: Case, latest: date, done: bool) -> str:
    """Done before all else; missed from the day after; due on the day itself and the two days before it."""
    if done:
        return "done"
    left_days = (latest - case.as_of).days
    if left_days < 0:
        return "missed"
    return "due" if left_days <= DUE_DAYS else "open"


def rule_of(case: Case, kind: str) -> str:
    return case.book.deadlines[kind].rule


def by_rulebook(case: Case, entry: EntryFact, kind: str, form: str | None = None) -> Last:
    """The last day that the rulebook counts back from the event's first day."""
    middle, late = case.book.deadlines[kind].days
    first = entry.first_day
    return Last(kind, first - timedelta(days=late), first - timedelta(days=middle), form)


def action(case: Case, last: Last, done: bool) -> Deadline:
    """Something to do, or to begin, by its last day; it may be begun today."""
    startable = not done and last.latest >= case.as_of
    return _deadline(case, last, state(case, last.latest, done), case.as_of if startable else None)


def limit(case: Case, last: Last, broken: bool) -> Deadline:
    """A last day for something: once it has passed it is done, or missed where it was not kept."""
    kept = last.latest < case.as_of
    return _deadline(case, last, "missed" if broken else state(case, last.latest, kept), None)


def _deadline(case: Case, last: Last, state_code: str, earliest: date | None) -> Deadline:
    return Deadline(
        kind=last.kind,
        earliest=earliest,
        latest=last.latest,
        slack_days=(last.latest - case.as_of).days,
        state=state_code,
        rule=last.rule or rule_of(case, last.kind),
        form=last.form,
        median=last.median,
        site=last.site,
    )
