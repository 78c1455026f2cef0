"""A day at a place as its templates read it, a coach's and an athlete's own: sentence, strip, windows, table."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from typing import Any

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from coaching.drawing.hours import draw_hours
from coaching.drawing.hours_data import DESK, PHONE
from coaching.usecases.shown_air import DayAtPlace, HourShown, WindowShown
from coaching.wording import air_day, air_sure
from coaching.wording.dates import clock_time, event_day
from coaching.wording.day_figure import hours_figure
from coaching.wording.day_strip import strip
from coaching.wording.day_table import HourLine, line_of

FIRST_H, LAST_H = 5, 22


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
        return air_sure.about(self.day)

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
        return air_sure.sure(self.day)

    @property
    def unknowns(self) -> list[str]:
        return air_sure.unknowns(self.day)

    @property
    def cautions(self) -> list[str]:
        return air_sure.cautions(self.day)

    @property
    def between_title(self) -> str:
        at = self._between_hour
        when = clock_time(at.at) if at else ""
        return gettext("Between tries at %(time)s: %(who)s") % {"time": when, "who": air_day.whose(self.day)}

    @property
    def between(self) -> list[str]:
        return air_sure.between(self._between_hour, self.day)

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
    def strip_wide(self) -> SafeString:
        return _drawn(draw_hours(strip(self._spoken, self.hours, self.day, False), DESK))

    @cached_property
    def strip_narrow(self) -> SafeString:
        return _drawn(draw_hours(strip(self._spoken, self.hours, self.day, True), PHONE))

    @property
    def figure(self) -> dict[str, Any]:
        """The same for a script that draws it."""
        return hours_figure(self.hours, self.day)

    @property
    def _spoken(self) -> str:
        return f"{self.title}. {self.headline}"

    @property
    def has_own(self) -> bool:
        """Whether the table has a column of own sessions in like air."""
        return any(hour.own[1] for hour in self.hours)

    @property
    def table(self) -> list[HourLine]:
        return [line_of(hour, self.day) for hour in self.hours]


def _drawn(svg: str) -> SafeString:
    """A finished drawing. `coaching.drawing` escapes every word and every attribute it is given."""
    return mark_safe(svg)  # noqa: S308
