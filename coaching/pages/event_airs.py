"""The two airs of an event as its template reads them: sentence, picture, table, what changes and by when."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from athletes.records.queries_events import HourAir
from coaching.drawing.airs import AirHour, Panel, draw_airs
from coaching.pages.pictures import Strip, drawn
from coaching.usecases.shown_event import EventPage
from coaching.usecases.shown_two_airs import TwoAirs
from coaching.wording import air_event, air_units


@dataclass(frozen=True)
class AirsSeen:
    """The section of the event page."""

    page: EventPage
    airs: TwoAirs

    @property
    def place_code(self) -> str:
        return self.page.place_code or ""

    @property
    def difference(self) -> str:
        return air_event.difference(self.airs, self.page.units)

    @property
    def changes(self) -> list[tuple[str, str]]:
        return air_event.changes(self.airs, self.page.units)

    @property
    def rehearsal(self) -> str:
        return air_event.rehearsal(self.airs, self.page.as_of)

    @property
    def names(self) -> tuple[str, str]:
        return self.page.air.home or gettext("home"), self.page.place or self.page.event.name

    @property
    def rows(self) -> list[list[str]]:
        return air_event.columns(self.airs, self.page.units)

    @property
    def picture(self) -> Strip:
        """Drawn twice, for a wide and for a narrow page."""
        return Strip(self._drawn(640.0), self._drawn(340.0))

    def _drawn(self, width: float) -> SafeString:
        hours = self.page.air.home_hours
        home = [self._hour(h.hour, h.temp_c, h.dew_point_c, h.dew_low_c, h.dew_high_c) for h in hours]
        title = gettext("Air of %(home)s and of %(there)s by the hour. %(said)s") % {
            "home": self.names[0], "there": self.names[1], "said": self.difference,
        }  # fmt: skip
        unknown = gettext("not known")
        panels = (Panel(self.names[0], home, unknown), Panel(self.names[1], self._there(), unknown))
        return drawn(draw_airs(panels, title, (gettext("air"), gettext("dew point")), width))

    def _there(self) -> list[AirHour]:
        """By hour of the day over the days of the event."""
        by_hour: dict[int, list[HourAir]] = {}
        for hour in self.page.air.hours:
            by_hour.setdefault(hour.at.hour, []).append(hour)
        found = []
        for hour, rows in sorted(by_hour.items()):
            dew = [row.dew_point_c for row in rows]
            temp = float(np.mean([row.temp_c for row in rows]))
            found.append(self._hour(hour, temp, float(np.mean(dew)), min(dew), max(dew)))
        return found

    def _hour(self, hour: int, *values_c: float) -> AirHour:
        return AirHour(hour, *(air_units.degrees(value, self.page.units) for value in values_c))
