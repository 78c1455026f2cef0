"""What delivery is shown: frozen values made by the reading use-cases, already cut to what the viewer may see.

A part that is not shared with the viewer is None or empty, and its class is missing from `shared`.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property

from athletes.records.care_told import CareTold
from athletes.records.glass import Look
from athletes.records.queries import CheckInRecord, EpisodeRecord, PlannedSession
from athletes.records.queries_trials import TrialRow
from coaching.rules.conclusions import Deadline, Fallback, Limit, Reason, Refusal, Step, Today
from coaching.usecases.trial_arm import Arm


@dataclass(frozen=True)
class EventShown:
    code: str
    name: str
    kind: str  # competition, trip
    first_day: date
    last_day: date
    timezone: str
    entry_deadline: datetime | None = None


@dataclass(frozen=True)
class LoadDay:
    day: date
    done_slu: float | None  # None: not known
    plan_slu: float | None  # None: no plan known


@dataclass(frozen=True)
class CareRun:
    """A run of days of one care form, planned or done."""

    verb: str
    form: str
    first: date
    last: date
    planned: bool


@dataclass(frozen=True)
class StageSpan:
    stage: str
    first: date
    last: date
    expected: bool  # False: as looked at; True: as the model expects


@dataclass(frozen=True)
class DamageShown:
    """An episode that is not sound, with its expected course."""

    episode_id: str
    site: str
    kind: str
    depth: str | None
    noticed_on: date
    stage: str
    looked_on: date | None
    pain: int | None
    opens_on_pull: bool | None
    spans: tuple[StageSpan, ...] = ()
    sound_early: date | None = None  # 10 %
    sound_median: date | None = None
    sound_late: date | None = None  # 80 %
    usable_median: date | None = None
    usable_late: date | None = None


@dataclass(frozen=True)
class MarkShown:
    site: str
    mark: str  # pink, glassy, ridge, shedding, soft
    since: date
    by: str  # athlete, coach, medical


@dataclass(frozen=True)
class CourseDay:
    """One day of the course to the event. Future days carry the fan, past days the chance as it then stood."""

    day: date
    p: float
    low: float | None
    high: float | None
    q25: float | None
    q75: float | None
    answered: bool


@dataclass(frozen=True)
class EntryShown:
    event: EventShown
    level: str
    p: float | None  # None where the level is not-known
    low: float
    high: float
    bar_frac: float
    bar_provisional: bool
    good_days: tuple[int, float, float, float] | None
    reasons: tuple[Reason, ...]
    deadlines: tuple[Deadline, ...]
    fallbacks: tuple[Fallback, ...]
    parts: dict[str, float] = field(default_factory=dict)  # code -> change of p if that thing were as usual
    episode_parts: dict[str, float] = field(default_factory=dict)
    p_usual: float | None = None
    level_before: str | None = None  # level on the day before, None where there was none
    p_before: float | None = None
    rulebook: str = ""  # version of the rulebook that these dates come from


@dataclass(frozen=True)
class PictureShown:
    """What a strip, the two hands and the course are drawn from."""

    first_day: date
    load: tuple[LoadDay, ...] = ()
    care: tuple[CareRun, ...] = ()
    damage: tuple[DamageShown, ...] = ()
    marks: tuple[MarkShown, ...] = ()
    events: tuple[EventShown, ...] = ()
    silent: tuple[date, ...] = ()
    course: tuple[CourseDay, ...] = ()
    load_7d_slu: float | None = None
    load_7d_unknown_days: int = 0
    load_7d_percentile: float | None = None
    monotony: float | None = None
    reserve_mean_pt: float | None = None
    usual_reserve_pt: float | None = None
    dampness_mean_pt: float | None = None
    hardness_mean_pt: float | None = None


@dataclass(frozen=True)
class AthleteShown:
    """Everything one viewer may see of one athlete's conclusions on one day."""

    code: str
    name: str
    shared: frozenset[str]  # classes of data shared with this viewer
    as_of: date
    computed_at: datetime | None  # None: nothing concluded yet
    stale: bool  # facts are newer than the conclusions
    known_until: date | None
    medical: str
    today: Today
    entries: tuple[EntryShown, ...]  # nearest first
    limits: tuple[Limit, ...] = ()
    steps: tuple[Step, ...] = ()
    refused: tuple[Refusal, ...] = ()
    picture: PictureShown | None = None
    minor: bool = False
    model: str = ""
    rulebook: str = ""

    @property
    def next_entry(self) -> EntryShown | None:
        return self.entries[0] if self.entries else None


@dataclass(frozen=True)
class ListLine:
    """One athlete of a list. What is shown of them is read and cut only when `show` is called.

    `key` stands for everything that goes into it, the classes shared and the verdict on closed causes included: lines
    of equal keys show the same, whoever looks.
    """

    key: Hashable
    as_of: date
    computed_at: datetime | None
    show: Callable[[], AthleteShown] = field(compare=False, repr=False)


@dataclass(frozen=True)
class MorningList:
    """The coach's list: who needs a doctor, then exceptions, by days to the event and name.

    It is for the list alone: courses, verdicts, limits, steps and refusals of the athletes are not in it.
    """

    as_of: date
    known_at: datetime
    squad_names: tuple[str, ...]
    lines: tuple[ListLine, ...]
    stale: int  # athletes whose conclusions are older than their facts
    not_shared: int  # members who share no level with this viewer
    timezone: str = "UTC"  # where most of them live

    @cached_property
    def rows(self) -> tuple[AthleteShown, ...]:
        """Everybody in the order of the list, all of them read."""
        return tuple(line.show() for line in self.lines)


@dataclass(frozen=True)
class CheckInForm:
    """What the check-in page needs: the day, what was already sent, what is open, the last answers."""

    athlete_code: str
    athlete_name: str
    day: date
    already: CheckInRecord | None  # answers already stored for the day
    before: CheckInRecord | None  # the last answers before it
    episodes: tuple[EpisodeRecord, ...]
    dominant_hand: str | None
    timezone: str = "UTC"


@dataclass(frozen=True)
class NextLook:
    """Damage that is not sound, and the day on which to look at it again."""

    episode_id: str
    kind: str
    site: str
    day: date


@dataclass(frozen=True)
class TodayList:
    """The athlete's plain list for one day."""

    athlete: AthleteShown
    checked_in: bool
    sessions: tuple[PlannedSession, ...]
    steps_today: tuple[Step, ...]
    steps_tomorrow: tuple[Step, ...]
    looks: tuple[Deadline, ...]
    glass: tuple[Look, ...] = ()
    timezone: str = "UTC"
    told: tuple[CareTold, ...] = ()
    trial: tuple[TrialRow, Arm] | None = None  # the one that runs, and what it asks today
    next_looks: tuple[NextLook, ...] = ()
