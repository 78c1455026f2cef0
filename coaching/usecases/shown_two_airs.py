"""What an event's page is shown of its two airs: frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class OneAir:
    """One of the two: means of its hours, and how long fingers take to dry after a middling try there."""

    name: str
    temp_c: float
    dew_c: float
    humidity_frac: float
    pressure_pa: float
    damp_s: float
    dry_s: float


@dataclass(frozen=True)
class Extreme:
    """The hottest or coldest hour there: how long a hot finger needs to cool at least, and may take to turn clumsy."""

    temp_c: float
    cool_s: float
    clumsy_s: float


@dataclass(frozen=True)
class HomeGap:
    """Another place where some trained, and the dew point of the event against its own."""

    name: str
    athletes: int
    gap_k: float


@dataclass(frozen=True)
class TwoAirs:
    """`home` or `there` is None where nothing is known of it. `gap_k` is the mean difference of dew points."""

    home: OneAir | None
    there: OneAir | None
    gap_k: float | None
    damper: bool
    drier: bool
    hottest: Extreme | None
    coldest: Extreme | None
    heat_index_c: float | None
    high_m: float | None  # altitude, where it is high and higher than home
    flight_h: float | None  # about how long at least, from the distance or the two clocks; None: not known
    rehearse_by: date | None
    rehearsing: int  # athletes whose plan holds it
    rehearsal_missed: bool
    gap_spread_k: float | None = None  # half of the range of the gap, wider the older the forecast
    forecast_age_d: float | None = None  # when the event begins
    hall: bool = False
    sun_h: tuple[int, int] | None = None  # first and last hour of sun on the face on the first day
    sea_level_damp_s: float | None = None  # a damp finger in the same air at sea level, where the place is high
    home_cool_s: float | None = None
    others: tuple[HomeGap, ...] = ()
