"""A day at a place as its template reads it: sentence, strip, windows, table, with every word ready."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from coaching.drawing.hours import DESK, PHONE, HourMark, HoursData, WindowMark, draw_hours
from coaching.pages.pictures import Strip, drawn
from coaching.usecases.shown_air import DayAtPlace, HourShown, WindowShown
from coaching.wording import air_day, air_units
from coaching.wording.dates import clock_time, event_day

FIRST_H, LAST_H = 5, 22
TALLEST_S = 120.0


@dataclass(frozen=True)
class WindowLine:
    """One window of the list."""

    found: WindowShown
    day: DayAtPlace
    place: int

    @property
    def span(self) -> str:
        return air_day.span(self.found)

    @property
    def why(self) -> str:
        return "; ".join(air_day.reasons(self.found, self.day)) + "."

    @property
    def history(self) -> str:
        return air_day.history(self.found, self.day)

    @property
    def cost(self) -> str:
        return air_day.cost(self.found, self.day)


@dataclass(frozen=True)
class HourLine:
    """One row of the table."""

    hour: str
    source: str
    sun: str
    temp: str
    humidity: str
    dew: str
    rock: str
    dry: str
    fanned: str
    wind: str


@dataclass(frozen=True)
class DaySeen:
    """The whole page."""

    day: DayAtPlace

    @property
    def title(self) -> str:
        return air_day.title(self.day.place.name, self.day.day)

    @property
    def headline(self) -> str:
        return air_day.headline(self.day)

    @property
    def about(self) -> str:
        return air_day.about(self.day)

    @property
    def known(self) -> bool:
        return any(hour.temp_c is not None for hour in self.day.hours)

    @property
    def days(self) -> list[tuple[str, str]]:
        """(date, name) of the days beside this one, and of today."""
        near = [(self.day.day + timedelta(days=n)) for n in (-1, 1)]
        shown = [near[0], self.day.today, near[1]] if self.day.today not in near + [self.day.day] else near
        return [(d.isoformat(), gettext("today") if d == self.day.today else event_day(d)) for d in shown]

    @cached_property
    def hours(self) -> list[HourShown]:
        return [hour for hour in self.day.hours if FIRST_H <= hour.at.hour < LAST_H]

    @property
    def windows(self) -> list[WindowLine]:
        return [WindowLine(found, self.day, n) for n, found in enumerate(self.day.windows, 1)]

    @property
    def order(self) -> str:
        return air_day.order(self.day)

    @property
    def sure(self) -> list[str]:
        return air_day.sure(self.day)

    @property
    def unknowns(self) -> list[str]:
        return air_day.unknowns(self.day)

    @property
    def cautions(self) -> list[str]:
        return air_day.cautions(self.day)

    @property
    def between_title(self) -> str:
        at = self._between_hour
        when = clock_time(at.at) if at else ""
        return gettext("Between tries at %(time)s: %(who)s") % {"time": when, "who": air_day.whose(self.day)}

    @property
    def between(self) -> list[str]:
        return air_day.between(self._between_hour, self.day)

    @property
    def _between_hour(self) -> HourShown | None:
        """The middle of the best window, else early afternoon."""
        known = [hour for hour in self.day.hours if hour.dry_s is not None]
        if self.day.windows:
            best = self.day.windows[0]
            known = [hour for hour in known if best.first <= hour.at < best.last] or known
            return known[len(known) // 2] if known else None
        return next((hour for hour in known if hour.at.hour == 14), known[0] if known else None)

    @cached_property
    def strip(self) -> Strip:
        return Strip(self._drawn(False), self._drawn(True))

    def _drawn(self, narrow: bool) -> SafeString:
        return drawn(draw_hours(self._data(narrow), PHONE if narrow else DESK))

    def _data(self, narrow: bool) -> HoursData:
        first = self.hours[0].at if self.hours else None
        marks = [_mark(hour, self.day, narrow) for hour in self.hours]
        windows = []
        for n, found in enumerate(self.day.windows):
            begin, end = ((at - first).total_seconds() / 3600 if first else 0.0 for at in (found.first, found.last))
            begin, end = max(0.0, begin), min(float(len(marks)), end)
            name = (gettext("best") if n == 0 else str(n + 1)) if not narrow else str(n + 1)
            if end > begin:
                windows.append(WindowMark(int(begin), int(end), name, n == 0))
        return HoursData(f"{self.title}. {self.headline}", marks, windows, self._lanes(narrow))

    def _lanes(self, narrow: bool) -> dict[str, tuple[str, str]]:
        units, day = self.day.units, self.day
        lanes = {
            "windows": (
                gettext("Windows"),
                gettext("best is 1") if narrow else gettext("hours to climb in"),
            ),
            "air": (
                gettext("Air") + f", °{units.temperature}",
                gettext("dotted: dew point") if narrow else gettext("line: air and its range; dotted: dew point"),
            ),
            "dry": (
                gettext("Between tries"),
                gettext("s, middling try") if narrow else gettext("s to dry, middling try"),
            ),
        }
        if day.place.kind != "hall" and day.place.face_deg is not None:
            lanes["sun"] = (gettext("Sun on the face"), gettext("clear sky"))
        if any(hour.wind_m_s is not None for hour in self.hours):
            lanes["wind"] = (gettext("Wind") + f", {units.wind}", gettext("arrow: where it goes"))
        return lanes

    @property
    def table(self) -> list[HourLine]:
        return [_line(hour, self.day) for hour in self.hours]


def _mark(hour: HourShown, day: DayAtPlace, narrow: bool) -> HourMark:
    units = day.units
    never = hour.middling_s is not None and hour.middling_s > air_units.LONGEST_S
    middle = None if never else hour.middling_s
    words = "" if middle is None else str(air_units.seconds(middle))
    best = bool(day.windows) and day.windows[0].first <= hour.at < day.windows[0].last
    return HourMark(
        name=f"{hour.at:%H}",
        night=not hour.sun_up and day.place.kind != "hall",
        sun_frac=hour.sun_frac if day.place.kind != "hall" else None,
        temp=None if hour.temp_c is None else air_units.degrees(hour.temp_c, units),
        spread=0.0 if hour.temp_c is None else air_units.gap(hour.temp_spread_k, units),
        dew=None if hour.dew_c is None else air_units.degrees(hour.dew_c, units),
        dry_frac=None if middle is None else min(middle / TALLEST_S, 1.0) ** 0.5,
        dry_words=gettext("no") if never and not narrow else "–" if never else words,
        never=never,
        toward_deg=None if hour.wind_from_deg is None or not hour.wind_m_s else (hour.wind_from_deg + 180.0) % 360.0,
        wind_words="" if hour.wind_m_s is None else air_units.whole(air_units.wind(hour.wind_m_s, units)),
        sea=str(air_day.SEA.get(hour.sea, "")),
        rock=_warned(hour, day) if not day.indoors else "",
        best=best,
    )


def _warned(hour: HourShown, day: DayAtPlace) -> str:
    return gettext("rain") if hour.rain else air_day.water(hour.rock, day)


def _line(hour: HourShown, day: DayAtPlace) -> HourLine:
    units, unknown = day.units, gettext("not known")
    said = air_units.wind_said(hour.wind_m_s, units)
    sea = str(air_day.SEA.get(hour.sea, ""))
    wind = " ".join(part for part in (said, air_day.bearing(hour.wind_from_deg), sea) if part)
    return HourLine(
        hour=clock_time(hour.at),
        source=str(air_day.SOURCES[hour.source]),
        sun=_sun(hour, day),
        temp=_with_range(hour, day),
        humidity=unknown if hour.humidity_pct is None else f"{hour.humidity_pct:.0f} %",
        dew=air_units.temp(hour.dew_c, units),
        rock=_rock(hour, day),
        dry=f"{air_units.about(hour.middling_s)} ({air_units.pause(hour.dry_s)})",
        fanned=air_units.pause(hour.fanned_s),
        wind=wind,
    )


def _with_range(hour: HourShown, day: DayAtPlace) -> str:
    said = air_units.temp(hour.temp_c, day.units)
    if hour.temp_c is None or hour.temp_spread_k < 0.75:
        return said
    return f"{said} ± {max(1, round(air_units.gap(hour.temp_spread_k, day.units)))}"


def _sun(hour: HourShown, day: DayAtPlace) -> str:
    if day.place.kind == "hall":
        return gettext("indoors")
    if hour.sun_frac is None:
        return gettext("not known")
    return gettext("%(n)d of 60 min") % {"n": round(60 * hour.sun_frac)} if hour.sun_frac else gettext("none")


def _rock(hour: HourShown, day: DayAtPlace) -> str:
    dry = gettext("dry") if hour.rock == 0 else gettext("not known")
    return _warned(hour, day) or dry
