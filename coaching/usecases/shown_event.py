"""What the event pages are shown: frozen values, already cut to what the viewer may see."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from athletes.records.queries_events import EventAir
from coaching.rules.trial_standing import OwnWord
from coaching.usecases.shown import AthleteShown, EntryShown, EventShown
from coaching.usecases.shown_air import Units
from coaching.usecases.shown_two_airs import TwoAirs


@dataclass(frozen=True)
class EntryRow:
    """One athlete in the event. `entry` is None where nothing is concluded about it: not computed yet, withdrawn,
    or the event is over.
    """

    athlete: AthleteShown
    entry: EntryShown | None
    status: str  # entered, stand-in, withdrawn

    @property
    def level(self) -> str | None:
        return self.entry.level if self.entry else None


@dataclass(frozen=True)
class EventPage:
    """One event for one viewer; rows with exceptions first, then by name."""

    event: EventShown
    place: str | None
    surface: str
    as_of: date
    known_at: datetime
    rows: tuple[EntryRow, ...]
    not_shared: int  # members entered who share no level with this viewer
    air: EventAir
    airs: TwoAirs | None = None
    place_code: str | None = None
    units: Units = Units()
    own_words: Mapping[str, Mapping[str, OwnWord]] = field(default_factory=dict)  # by athlete and form; papers alone

    @property
    def running(self) -> tuple[EntryRow, ...]:
        """Those who are to start: entered or stand-in."""
        return tuple(row for row in self.rows if row.status != "withdrawn")


@dataclass(frozen=True)
class EventLine:
    """One event of the list: levels of those who are to start, None where nothing is concluded."""

    event: EventShown
    place: str | None
    surface: str
    levels: tuple[str | None, ...]
    not_shared: int


@dataclass(frozen=True)
class EventsList:
    today: date
    coming: tuple[EventLine, ...]
    over: tuple[EventLine, ...]  # the latest first
