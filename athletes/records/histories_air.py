"""Air of places as it was known on the evening of a day: means by local day, of the hours in which people
climb.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

import numpy as np
from django.db.models import Q
from numpy.typing import NDArray

from athletes.records.models import Air
from coaching.science.air import psychrometrics

FIRST_HOUR, LAST_HOUR = 8, 20  # judgement: the hours of the day in which squads climb
DRIEST_PCT = 1.0  # judgement: sensors read no drier, and without vapour there is no dew point
LONGEST_GAP_S = 3.5 * 3600
"""Between readings further apart nothing is drawn through."""
Floats = NDArray[np.float64]


def dew_point_c(temp_c: Floats, rh_pct: Floats) -> Floats:
    """Dew point over water, below freezing too; humidity under 1 % is taken as 1 %."""
    vapour_pa = psychrometrics.vapour_pressure_pa(temp_c, np.maximum(rh_pct, DRIEST_PCT) / 100.0)
    return psychrometrics.dew_point_c(vapour_pa)


def humidity_pct(temp_c: float, dew_c: float) -> float:
    """Relative humidity at a temperature and dew point, at most 100."""
    vapour_pa = psychrometrics.saturation_over_water_pa(dew_c)
    return float(min(100.0, 100.0 * psychrometrics.humidity_frac(temp_c, vapour_pa)))


def end_of_day(day: date, zone: ZoneInfo) -> datetime:
    """The first instant after the day in a zone."""
    return datetime.combine(day + timedelta(days=1), time(), zone).astimezone(UTC)


@dataclass(frozen=True)
class Mean:
    temp_c: float
    rh_pct: float
    dew_point_c: float


@dataclass(frozen=True)
class _Hours:
    starts_s: Floats
    known_s: Floats  # NaN: observed
    temp_c: Floats
    rh_pct: Floats


@dataclass
class AirBook:
    """Air rows of a batch, read once; means are made for a place and a zone when first asked for."""

    as_of: date
    hours: dict[int, _Hours]
    _days: dict[tuple[int, str], dict[int, Mean]] = field(default_factory=dict)
    _counting: dict[tuple[int, str], tuple[Floats, Floats, Floats]] = field(default_factory=dict)

    @cached_property
    def _none(self) -> dict[int, Mean]:
        return {}

    def days(self, place_id: int | None, zone: str) -> dict[int, Mean]:
        """Mean by proleptic ordinal of the local day, as known at the end of `as_of` in the zone."""
        if place_id is None or place_id not in self.hours:
            return self._none
        if (place_id, zone) not in self._days:
            self._days[place_id, zone] = _means(self.hours[place_id], self.as_of, ZoneInfo(zone))
        return self._days[place_id, zone]

    def day(self, place_id: int | None, zone: str, day: date) -> Mean | None:
        return self.days(place_id, zone).get(day.toordinal())

    def during(self, place_id: int | None, zone: str, first: datetime, minutes: float) -> Mean | None:
        """Mean over the time of a session, straight between readings near enough to each other; None beside them."""
        if place_id is None or place_id not in self.hours:
            return None
        if (place_id, zone) not in self._counting:
            self._counting[place_id, zone] = _counting(self.hours[place_id], self.as_of, ZoneInfo(zone))
        starts, temp, rh = self._counting[place_id, zone]
        at = first.timestamp() + np.arange(0.0, max(minutes, 1.0) * 60.0, 1800.0)
        after = np.searchsorted(starts, at, side="left")
        near = (after > 0) & (after < starts.size)
        gap = np.where(near, starts[np.minimum(after, starts.size - 1)] - starts[np.maximum(after - 1, 0)], np.inf)
        known = (gap <= LONGEST_GAP_S) | np.isin(at, starts)
        if not known.any():
            return None
        values = (temp, rh, dew_point_c(temp, rh))
        return Mean(*(float(np.interp(at[known], starts, one).mean()) for one in values))

    def span(self, place_id: int | None, zone: str, first: date, last: date) -> Mean | None:
        """Mean over the days that are known between two days, both counted; None where none is."""
        days = self.days(place_id, zone)
        known = [days[o] for o in range(first.toordinal(), last.toordinal() + 1) if o in days]
        return mean_of(known)


def mean_of(known: Iterable[Mean]) -> Mean | None:
    """Mean of means, each counted once."""
    rows = [(m.temp_c, m.rh_pct, m.dew_point_c) for m in known]
    return Mean(*(sum(values) / len(rows) for values in zip(*rows, strict=True))) if rows else None


def _means(hours: _Hours, as_of: date, zone: ZoneInfo) -> dict[int, Mean]:
    starts, temp, rh = _counting(hours, as_of, zone)
    local = [datetime.fromtimestamp(s, zone) for s in starts]
    awake = np.array([FIRST_HOUR <= at.hour < LAST_HOUR for at in local], dtype=bool)
    day = np.array([at.toordinal() for at in local], dtype=np.int64)
    return _by_day(day[awake], temp[awake], rh[awake])


def _counting(hours: _Hours, as_of: date, zone: ZoneInfo) -> tuple[Floats, Floats, Floats]:
    """Start, temperature and humidity of what counts of each hour: the observation, else the latest forecast."""
    cut = end_of_day(as_of, zone).timestamp()
    observed = np.isnan(hours.known_s)
    visible = np.where(observed, hours.starts_s < cut, hours.known_s < cut)
    rank = np.where(observed, np.inf, hours.known_s)
    order = np.lexsort((hours.rh_pct, hours.temp_c, rank, hours.starts_s))
    order = order[visible[order]]
    last = np.append(hours.starts_s[order][1:] != hours.starts_s[order][:-1], True)[: order.size]
    kept = order[last]
    return hours.starts_s[kept], hours.temp_c[kept], hours.rh_pct[kept]


def _by_day(day: NDArray[np.int64], temp_c: Floats, rh_pct: Floats) -> dict[int, Mean]:
    if not day.size:
        return {}
    days, where, count = np.unique(day, return_inverse=True, return_counts=True)
    values = (temp_c, rh_pct, dew_point_c(temp_c, rh_pct))
    sums = [np.bincount(where, weights=v) / count for v in values]
    return {int(d): Mean(*(float(s[i]) for s in sums)) for i, d in enumerate(days)}


def air_book(place_ids: Iterable[int], as_of: date, first: date, last: date) -> AirBook:
    """Read the air of places between two days: one query, none without a place."""
    ids = sorted(set(place_ids))
    if not ids:
        return AirBook(as_of, {})
    noon = datetime.combine(as_of, time(12), UTC)
    latest = noon + timedelta(days=2)  # after the end of `as_of` in every zone; cut for each zone afterwards
    rows = Air.objects.filter(
        Q(known_at__isnull=True, starts_at__lt=latest) | Q(known_at__lt=latest),
        place_id__in=ids,
        starts_at__gte=datetime.combine(first - timedelta(days=1), time(), UTC),
        starts_at__lt=datetime.combine(last + timedelta(days=2), time(), UTC),
    )
    by_place: dict[int, list[tuple[float, float, float, float]]] = {}
    for place, starts, known, temp, rh in rows.values_list(
        "place_id", "starts_at", "known_at", "temp_c", "rh_pct"
    ):
        known_s = known.timestamp() if known else np.nan
        by_place.setdefault(place, []).append((starts.timestamp(), known_s, temp, rh))
    return AirBook(as_of, {place: _Hours(*np.array(hours).T) for place, hours in by_place.items()})
