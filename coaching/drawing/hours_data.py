"""What a day at a place is drawn from, and where its hours lie."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class HourMark:
    """One hour; numbers in the reader's units, None not known. `words` are those that stand in the lanes."""

    name: str
    night: bool = False
    sun_frac: float | None = None
    temp: float | None = None
    spread: float = 0.0
    dew: float | None = None
    dry_frac: float | None = None  # height of the bar
    dry_words: str = ""
    never: bool = False  # does not dry
    toward_deg: float | None = None  # compass bearing the wind goes to
    wind_words: str = ""
    sea: str = ""  # where the wind comes from, in words
    rock: str = ""  # what may be wrong with the rock, in words
    best: bool = False
    own_words: str = ""  # own sessions in like air


@dataclass(frozen=True)
class WindowMark:
    """Hours `first` to before `last` of the strip, with what it is called there."""

    first: int
    last: int
    name: str
    best: bool


@dataclass(frozen=True)
class HoursData:
    """All that is drawn; `lanes` names those that are: windows, sun, air, dry, own, wind, each (name, note)."""

    title: str
    hours: Sequence[HourMark]
    windows: Sequence[WindowMark]
    lanes: Mapping[str, tuple[str, str]]
    now: float | None = None  # hours from the left edge
    first_hour: int = 0  # of the clock, at the left edge


@dataclass(frozen=True)
class HoursSize:
    """Measures in px; on a narrow strip the names of lanes stand over them."""

    width: float
    left: float
    every: int  # each so many hours has its name and number
    narrow: bool


DESK, PHONE = HoursSize(1376.0, 190.0, 1, False), HoursSize(358.0, 26.0, 2, True)


@dataclass(frozen=True)
class Axis:
    """Where hours lie on a strip."""

    data: HoursData
    size: HoursSize

    @property
    def hour_px(self) -> float:
        """Width of an hour."""
        return (self.size.width - self.size.left) / max(len(self.data.hours), 1)

    def x(self, hour: float) -> float:
        """Hours from the left edge to px."""
        return self.size.left + hour * self.hour_px

    def named(self, h: int) -> bool:
        """Whether the hour has its name and numbers."""
        return (self.data.first_hour + h) % self.size.every == 0
