"""Air of days to come beyond every forecast: a typical year where a place has one, else its series so far.

Both look back only: the series is that known on the evening of the day, and a typical year is of years long gone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from athletes.records.histories_air import FIRST_HOUR, LAST_HOUR, AirBook, Mean, humidity_pct, mean_of
from athletes.records.models import TypicalAir

SERIES_DAYS = 28
"""So many days up to the day of the book are the series so far."""
LEAST_DAYS = 3
"""Judgement: fewer days known of a place tell nothing of what is typical there."""
REACH_DAYS = 42
"""Judgement: further ahead is another season, of which the last four weeks tell nothing."""
Hours = Mapping[tuple[int, int], tuple[float, float]]
"""(month, hour UTC) to temperature and dew point, C."""


@dataclass
class TypicalBook:
    """What is to be expected of a place on a day to come; made once for a batch."""

    book: AirBook
    years: Mapping[int, Hours]
    _days: dict[tuple[int, str, date], Mean | None] = field(default_factory=dict)

    def day(self, place_id: int | None, zone: str, day: date) -> Mean | None:
        """None for a day that is not to come, and where neither a year nor a series is known."""
        if place_id is None or day <= self.book.as_of:
            return None
        key = (place_id, zone, day)
        if key not in self._days:
            self._days[key] = self._of_year(place_id, ZoneInfo(zone), day) or self._series(place_id, zone, day)
        return self._days[key]

    def span(self, place_id: int | None, zone: str, first: date, last: date) -> Mean | None:
        """Mean over the days to come between two days, both counted."""
        days = (first + timedelta(days=n) for n in range((last - first).days + 1))
        return mean_of(found for day in days if (found := self.day(place_id, zone, day)) is not None)

    def _of_year(self, place_id: int, zone: ZoneInfo, day: date) -> Mean | None:
        year = self.years.get(place_id, {})
        at = (datetime.combine(day, time(hour), zone).astimezone(UTC) for hour in range(FIRST_HOUR, LAST_HOUR))
        found = [year[key] for one in at if (key := (one.month, one.hour)) in year]
        if not found:
            return None
        temp, dew = (sum(values) / len(found) for values in zip(*found, strict=True))
        return Mean(temp, humidity_pct(temp, dew), dew)

    def _series(self, place_id: int, zone: str, day: date) -> Mean | None:
        if (day - self.book.as_of).days > REACH_DAYS:
            return None
        known, last = self.book.days(place_id, zone), self.book.as_of.toordinal()
        days = [known[at] for at in range(last - SERIES_DAYS + 1, last + 1) if at in known]
        return mean_of(days) if len(days) >= LEAST_DAYS else None


def typical_book(book: AirBook, place_ids: Iterable[int]) -> TypicalBook:
    """Read the typical years of places: one query, none without a place."""
    ids, years = sorted(set(place_ids)), defaultdict[int, dict[tuple[int, int], tuple[float, float]]](dict)
    rows = TypicalAir.objects.filter(place_id__in=ids) if ids else TypicalAir.objects.none()
    for place, month, hour, temp, dew in rows.values_list("place_id", "month", "hour_utc", "temp_c", "dew_c"):
        years[place][month, hour] = (temp, min(dew, temp))
    return TypicalBook(book, years)
