"""Facts of one athlete as the rules read them: plain frozen values, dates local to the athlete, unknown is
None.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime


@dataclass(frozen=True)
class CheckInFact:
    day: date
    reserve: int | None = None
    dampness: int | None = None
    hardness: int | None = None
    sting: int | None = None
    pull_pain: int | None = None
    agent_used: bool | None = None
    marks: tuple[tuple[str, str], ...] = ()  # (site, mark)
    red_flags: tuple[str, ...] = ()
    seconds: float | None = None
    note: str = ""
    rating_step: int | None = None  # 2 where answers were given by twos
    made_at: datetime | None = None  # aware; of two answers of one day the later counts

    @property
    def says_skin(self) -> bool:
        """Whether it tells how the skin is. "None of these signs", a note or an agent alone do not."""
        return (
            self.reserve is not None
            or self.dampness is not None
            or self.hardness is not None
            or self.sting is not None
            or self.pull_pain is not None
            or bool(self.marks)
        )


@dataclass(frozen=True)
class SessionFact:
    day: date
    planned: bool
    minutes: float | None = None
    rpe: float | None = None
    surface: str | None = None
    hard_tries: int | None = None
    skin_limited: bool | None = None
    ordinal: int = 1
    air_temp_c: float | None = None  # at its place, by day
    air_rh_pct: float | None = None


@dataclass(frozen=True)
class CareFact:
    day: date
    status: str  # planned, done, skipped
    verb: str
    form: str
    strength: str | None = None
    part: str | None = None
    uses: int | None = None
    sites: tuple[str, ...] = ()
    reaction: str | None = None


@dataclass(frozen=True)
class LookFact:
    day: date
    stage: str
    pain: int | None = None
    opens_on_pull: bool | None = None
    balm_night: bool | None = None
    taped: bool | None = None
    bled: bool | None = None


@dataclass(frozen=True)
class EpisodeFact:
    episode_id: str
    site: str
    kind: str
    noticed_on: date
    depth: str | None = None
    length_mm: float | None = None
    width_mm: float | None = None
    worries: tuple[str, ...] = ()
    looks: tuple[LookFact, ...] = ()  # oldest first


@dataclass(frozen=True)
class SightingFact:
    day: date
    by: str  # coach, medical
    marks: tuple[tuple[str, str], ...] = ()
    note: str = ""


@dataclass(frozen=True)
class AwayFact:
    first_day: date
    last_day: date
    kind: str


@dataclass(frozen=True)
class SignoffFact:
    form: str
    by: str  # guardian, medical
    given_on: date
    until: date | None = None


@dataclass(frozen=True)
class OverruledFact:
    """A named person lets a paused form go ahead on one day, and says why. Hard stops take no such word."""

    form: str
    class_: str
    day: date
    by: str
    note: str
    given_on: date


@dataclass(frozen=True)
class TriedFact:
    """One of the athlete's own trials that is over, and what was read from it. `effect_pt`: how much dampness a full
    effect of the agent takes away by this trial, None where the ratings of its mornings say it already or nothing does.
    """

    day: date
    form: str
    outcome: str
    verdict: str
    effect_pt: float | None = None
    sd_pt: float | None = None


@dataclass(frozen=True)
class VenueAirFact:
    """Air at the event's place against the air the athlete trains in; None where not known."""

    venue_dew_point_c: float | None = None
    home_dew_point_c: float | None = None
    venue_temp_c: float | None = None
    typical: bool = False  # of the place's season or its last weeks: no reading and no forecast


@dataclass(frozen=True)
class EntryFact:
    event_id: str
    event_name: str
    kind: str  # competition, trip
    first_day: date
    last_day: date
    timezone: str
    surface: str | None = None
    styles: tuple[str, ...] = ()  # kinds of hold the event asks for, empty: not known, so all
    bar_frac: float | None = None  # set by the coach; None: the squad's own
    entry_deadline: datetime | None = None  # aware
    priority: int | None = None
    needs_sites: tuple[str, ...] = ()
    status: str = "entered"
    rock: str | None = None
    air: VenueAirFact = VenueAirFact()


@dataclass(frozen=True)
class AthleteFacts:
    athlete_id: str
    age_years: int | None
    timezone: str
    dominant_hand: str | None = None
    skin_kind: str | None = None
    sensitivities: frozenset[str] = frozenset()
    contraindications: frozenset[str] = frozenset()
    checkins: tuple[CheckInFact, ...] = ()  # oldest first
    sessions: tuple[SessionFact, ...] = ()
    care: tuple[CareFact, ...] = ()
    signoffs: tuple[SignoffFact, ...] = ()
    episodes: tuple[EpisodeFact, ...] = ()
    sightings: tuple[SightingFact, ...] = ()
    away: tuple[AwayFact, ...] = ()
    entries: tuple[EntryFact, ...] = ()
    known_until: date | None = None  # last day with an answer about the skin or a look
    squad_bar_frac: float = 0.5
    squad_bar_provisional: bool = True
    other_event_days: tuple[tuple[date, date], ...] = field(default=())
    overruled: tuple[OverruledFact, ...] = ()
    tried: tuple[TriedFact, ...] = ()  # oldest first
