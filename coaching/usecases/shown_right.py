"""What the page of scored forecasts is shown: frozen values, sums over athletes only."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

FEWEST = 30
"""Scored forecasts before anything is said of them (judgement)."""
FEWEST_A_BIN = 20
"""Scored forecasts before a single share is drawn in ink (judgement)."""
HORIZONS = ("7", "14", "event")
RIVALS = ("average", "persistence", "week", "regression")
UNSCORED = ("to-come", "no-session", "not-answered", "damage-seen", "not-shared")


@dataclass(frozen=True)
class Bin:
    """Forecasts said as about so many in 10: how many, their mean chance, how often it held, and the 80 % range."""

    tenths: int
    count: int
    said_frac: float
    held_frac: float
    low: float
    high: float

    @property
    def few(self) -> bool:
        return self.count < FEWEST_A_BIN


@dataclass(frozen=True)
class Gain:
    """Part of a rival's error that the model saves on the same forecasts, and its 95 % range; None where too few."""

    rival: str
    count: int
    gain: float | None
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True)
class Horizon:
    """Scores of one horizon. `days_apart`: scored forecasts are so many athlete-days."""

    code: str  # 7, 14, event
    count: int
    said_frac: float | None = None
    held_frac: float | None = None
    brier: float | None = None
    reliability: float | None = None
    resolution: float | None = None
    uncertainty: float | None = None
    log_score: float | None = None
    calibration: float | None = None
    area: float | None = None
    gains: tuple[Gain, ...] = ()


@dataclass(frozen=True)
class Ratings:
    """Reported ratings of one scale against their ranges at one horizon."""

    scale: str  # reserve, dampness
    days: int
    count: int
    covered_80: float | None
    crps_pt: float | None
    quarters: tuple[float, ...] = ()  # share of answers in each quarter of the forecast


@dataclass(frozen=True)
class Right:
    """The whole page."""

    today: date
    first_day: date  # of the days forecast
    athletes: int  # that share the level
    answering: int  # of those, that share what a forecast is scored by
    kept: int
    afterwards: int  # of those, computed afterwards
    scored: int
    bins: tuple[Bin, ...]
    horizons: tuple[Horizon, ...]
    ratings: tuple[Ratings, ...]
    unscored: dict[str, int]
    damage_seen_said: float | None  # mean chance said of days on which damage was seen open and nobody answered
    models: tuple[str, ...]
