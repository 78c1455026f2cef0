"""What the rules conclude about one athlete: codes with numbers, sites and dates. Words for people are made
elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

Number = float | int | str | bool | None


@dataclass(frozen=True)
class Reason:
    code: (
        str  # medical, split, tear, pink, reserve, dampness, dryness, glassy, shedding, agent, ... (glossary)
    )
    site: str | None = (
        None  # a site, "site not known" where a site is meant but was not said, None where none applies
    )
    date: date | None = None  # the last day to act on it, or the day it is expected to be over
    numbers: dict[str, Number] = field(default_factory=dict)


@dataclass(frozen=True)
class Deadline:
    kind: str
    earliest: date | None
    latest: date
    slack_days: int
    state: str  # open, due, done, missed
    rule: str  # id of the rulebook entry or of the deadline rule
    form: str | None = None
    median: date | None = None
    if_: str | None = None  # the look or try on which it depends
    site: str | None = None
    at: str | None = None  # instant with offset, for an entry deadline
    zone: str | None = None  # name of the zone that the instant is told in
    was: date | None = None  # latest day as it stood the day before, where that was another
    moved_by: str | None = None  # event, closing, rules, look, pink, care


@dataclass(frozen=True)
class Fallback:
    code: str
    cost: dict[str, Number] = field(default_factory=dict)


@dataclass(frozen=True)
class EntryConclusion:
    event_id: str
    level: str  # on-course, tight, act, out-of-reach, not-known
    p: float
    low: float
    high: float
    bar_frac: float
    bar_provisional: bool
    good_days: tuple[int, float, float, float] | None
    reasons: tuple[Reason, ...]  # worst first
    deadlines: tuple[Deadline, ...]  # by latest
    fallbacks: tuple[Fallback, ...]


@dataclass(frozen=True)
class Today:
    may_climb: str  # free, protected, not-those-holds, off, medical, not-known
    avoid: tuple[str, ...] = ()  # kinds of hold
    sites: tuple[str, ...] = ()


@dataclass(frozen=True)
class Limit:
    date: date
    surface: str | None  # the roughest allowed, or None for no load
    minutes: int | None
    hard_tries: int | None
    if_: str | None = None
    rule: str = field(default="", compare=False)  # entry of the rulebook that says why


@dataclass(frozen=True)
class Overruled:
    """A pause that a named person overruled, with their own words; printed wherever the step is."""

    class_: str
    by: str
    on: date
    note: str


@dataclass(frozen=True)
class Step:
    date: date
    part: str
    verb: str
    form: str
    sites: tuple[str, ...]
    rule: str
    caution: str  # the rulebook's own words
    source: str
    if_: str | None = None
    how: str = ""
    overruled: tuple[Overruled, ...] = ()


@dataclass(frozen=True)
class Refusal:
    verb: str
    form: str
    rule: str
    hard: bool
    class_: str  # allergy, age, open-skin, medical, timing, skin-kind, site, clash
    instead: tuple[str, ...]
    date: date | None = None
    cause: str = ""  # which rule of time: part-of-day, before-climbing, unfinished-run, first-use, last-use


@dataclass(frozen=True)
class AthleteConclusion:
    athlete_id: str
    medical: str  # none, ask, today, emergency
    known_until: date | None
    today: Today
    limits: tuple[Limit, ...]
    steps: tuple[Step, ...]
    refused: tuple[Refusal, ...]
    entries: tuple[EntryConclusion, ...]
