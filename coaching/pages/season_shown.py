"""The season as its template reads it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from django.utils.functional import cached_property
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from coaching.drawing import season as drawings
from coaching.drawing.timeline import CareRun, Days, EventBox
from coaching.pages.pictures import drawn
from coaching.usecases.season import BEHIND_WEEKS, SHARP, WEEKS, SeasonPage, SeasonRow
from coaching.wording import care, dates
from coaching.wording import season as words


@dataclass(frozen=True)
class Line:
    """One athlete."""

    row: SeasonRow
    page: SeasonPage

    @property
    def told(self) -> str:
        row = self.row
        return words.row(len(row.events), len(row.rock), len(row.rest), len(row.courses))

    @property
    def clashes(self) -> list[str]:
        return [words.clash(one, self.page.today) for one in self.row.clashes]

    @property
    def wide(self) -> SafeString:
        return self._drawn(drawings.WIDE_PX)

    @property
    def narrow(self) -> SafeString:
        return self._drawn(drawings.NARROW_PX)

    def _drawn(self, day_px: float) -> SafeString:
        row = self.row
        data = drawings.SeasonData(
            f"{row.athlete.name}: {self.told}",
            tuple(EventBox(one.first_day, one.last_day, one.name) for one in row.events),
            tuple((one.first_day, one.last_day) for one in row.away),
            tuple(CareRun(str(care.VERB_MARKS[one.verb]), one.first, one.last) for one in row.courses),
            tuple((one.day, one.surface == SHARP) for one in row.rock),
            row.rest,
            tuple(one.day for one in row.clashes),
        )
        return drawn(drawings.draw_row(data, Days(self.page.first, self.page.last, day_px), self.page.today))


@dataclass(frozen=True)
class SeasonShown:
    """The whole page."""

    page: SeasonPage

    @cached_property
    def lines(self) -> list[Line]:
        return [Line(row, self.page) for row in self.page.rows]

    @property
    def headline(self) -> str:
        return words.headline(sum(len(row.clashes) for row in self.page.rows))

    @property
    def span(self) -> str:
        return gettext("%(first)s to %(last)s") % {
            "first": dates.long_day(self.page.first), "last": dates.long_day(self.page.last),
        }  # fmt: skip

    @property
    def head_wide(self) -> SafeString:
        return self._head(drawings.WIDE_PX)

    @property
    def head_narrow(self) -> SafeString:
        return self._head(drawings.NARROW_PX)

    def _head(self, day_px: float) -> SafeString:
        days = Days(self.page.first, self.page.last, day_px)
        months = tuple(
            (day, dates.month(day) if day_px > 3 else dates.month(day)[:3])
            for day in days.all() if day.day == 1 or (day == days.first and day.day < 20)
        )  # fmt: skip
        boxes = tuple(EventBox(one.first_day, one.last_day, one.name) for one in self.page.events)
        return drawn(drawings.draw_head(days, self.page.today, self.span, months, boxes))

    @property
    def events(self) -> list[tuple[str, str, str, int]]:
        """(code, name, days, how many go)."""
        going = {one.code: 0 for one in self.page.events}
        for row in self.page.rows:
            for event in row.events:
                going[event.code] += 1
        return [
            (one.code, one.name, dates.span(one.first_day, one.last_day, self.page.today), going[one.code])
            for one in self.page.events
        ]

    @property
    def before(self) -> str:
        return (self.page.first - timedelta(weeks=WEEKS - BEHIND_WEEKS)).isoformat()

    @property
    def after(self) -> str:
        return (self.page.last + timedelta(days=1)).isoformat()
