"""What the pages of places are shown: frozen values, already cut to what the viewer may see."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from athletes.records.queries_air import Asked, PlaceFacts, PlaceLine
from athletes.records.viewer import Viewer

Range = tuple[float, float]


@dataclass(frozen=True)
class Units:
    """In what the viewer reads air."""

    temperature: str = "C"
    wind: str = "m/s"


def units_of(viewer: Viewer) -> Units:
    """The units that the viewer chose."""
    return Units(viewer.temperature_unit, viewer.wind_unit)


@dataclass(frozen=True)
class EventCost:
    """Chance that skin holds at the next event: after a day of rest, and after the session instead."""

    name: str
    rested: float
    after: float


@dataclass(frozen=True)
class Cost:
    """What a session wears and when half of it is back; `own` where it rests on the athlete's own answers."""

    reserve_pt: Range
    days_back: Range
    own: bool = False
    morning_pt: float | None = None  # reserve expected on the morning of the day
    event: EventCost | None = None


@dataclass(frozen=True)
class HourShown:
    """One hour in the place's zone; None: not known. Times between tries in s, infinite where it does not dry."""

    at: datetime
    source: str  # reading, between, forecast, typical, none
    temp_c: float | None
    humidity_pct: float | None
    dew_c: float | None
    temp_spread_k: float
    wind_m_s: float | None
    wind_from_deg: float | None
    sun_frac: float | None  # of the hour on the face under a clear sky
    sun_up: bool
    sea: int  # of science.air.windows
    rock: int
    dry_s: Range | None
    middling_s: float | None  # to dry after a middling try
    fanned_s: Range | None
    cool_least_s: float | None
    brittle_frac: float | None
    clumsy_least_s: float | None
    heat_index_c: float | None
    rain: bool
    own: tuple[int, int] = (0, 0)  # own sessions in like air: not limited by skin, and all; (0, 0) under ten in all
    squad: tuple[int, int] = (0, 0)


@dataclass(frozen=True)
class WindowShown:
    """A run of hours, the best first. The cost is that of one session through it at middling effort."""

    first: datetime
    last: datetime  # the end, not the start of the last hour
    sunny: bool
    sea: int
    rock: int
    source: str
    dry_s: Range
    middling_s: float
    own: tuple[int, int]
    squad: tuple[int, int]
    hours: float  # of climbing counted
    cost: Cost | None
    clumsy_s: float = float("inf")  # soonest in its cold hours, a lower bound


@dataclass(frozen=True)
class Whose:
    """Whose fingers are meant: an athlete's, or anybody's of middling dampness."""

    code: str | None
    name: str
    dampness_pt: float | None
    skin_kind: str  # damp, mixed, dry; empty: not known
    sessions: int  # own sessions with air
    squad_sessions: int
    hourly: int = 0  # of the own, those whose hours are known; the others count by the mean of their day
    looks: bool = False  # whether it is who looks
    verdict: str = ""  # medical while a sign stands, else whether they may climb where the day is today


@dataclass(frozen=True)
class DayAtPlace:
    place: PlaceFacts
    zone: str
    day: date
    today: date
    units: Units
    hours: tuple[HourShown, ...]
    windows: tuple[WindowShown, ...]
    whose: Whose
    athletes: tuple[tuple[str, str], ...]  # (code, name) of those whose check-ins are shared
    forecast_of: datetime | None
    typical_of: str
    surface: str  # that costs are counted on; empty: not known

    @property
    def indoors(self) -> bool:
        """A hall that the weather does not enter."""
        return self.place.kind == "hall" and self.place.exposure != "open"


@dataclass(frozen=True)
class PlacesList:
    today: date
    units: Units
    lines: tuple[PlaceLine, ...]


@dataclass(frozen=True)
class AirPage:
    """The page on which air is told: the place, and what the forecast service last said."""

    place: PlaceFacts
    zone: str
    today: date
    units: Units
    service: str  # name of the service that may be asked; empty: off
    asked: Asked | None
