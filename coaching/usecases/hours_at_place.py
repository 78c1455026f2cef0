"""Hours of a place in a row: readings, what lies between two of them, and a typical year where neither is known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np

from athletes.records.queries_air import Floats, Readings, TypicalHour
from coaching.science.air import day as days
from coaching.science.air.psychrometrics import dew_point_c, humidity_frac, saturation_over_water_pa, vapour_pressure_pa

LONGEST_GAP_S = 3.5 * 3600
"""Between readings further apart nothing is drawn through."""
DRIEST_FRAC = 0.01
SOURCES = {
    days.MEASURED: "reading", days.BETWEEN: "between", days.FORECAST: "forecast", days.TYPICAL: "typical",
    days.NOTHING: "none",
}  # fmt: skip


@dataclass(frozen=True)
class Row:
    """H hours; NaN not known; `source` of science.air.day."""

    starts_s: Floats
    source: np.ndarray
    temp_c: Floats
    dew_c: Floats
    temp_spread_k: Floats
    dew_spread_k: Floats
    wind_m_s: Floats
    wind_from_deg: Floats
    rain_mm: Floats
    known_s: Floats  # when a forecast was known

    @property
    def humidity_frac(self) -> Floats:
        return humidity_frac(self.temp_c, saturation_over_water_pa(self.dew_c))


def row_of(starts_s: Floats, found: Readings, typical: dict[tuple[int, int], TypicalHour]) -> Row:
    """Fill the hours that begin at `starts_s`, readings first."""
    size = starts_s.size
    blank = [np.full(size, np.nan) for _ in range(8)]
    row = Row(starts_s, np.full(size, days.NOTHING), *blank)
    _read(row, found)
    _typical(row, typical)
    return row


def _read(row: Row, found: Readings) -> None:
    """Each hour from the reading at it, or in a straight line between the two about it."""
    if not found.starts_s.size:
        return
    dew = dew_point_c(vapour_pressure_pa(found.temp_c, np.maximum(found.rh_pct / 100.0, DRIEST_FRAC)))
    after = np.searchsorted(found.starts_s, row.starts_s, side="left")
    for h, at in enumerate(row.starts_s):
        b = min(int(after[h]), found.starts_s.size - 1)
        a = b if found.starts_s[b] <= at else b - 1
        if a < 0 or at - found.starts_s[a] >= LONGEST_GAP_S:
            continue
        exact = found.starts_s[a] == at
        near = exact or (found.starts_s[b] > at and found.starts_s[b] - found.starts_s[a] <= LONGEST_GAP_S)
        if not near:
            if at - found.starts_s[a] >= days.S_PER_H:
                continue
            b = a
        share = 0.0 if a == b else float((at - found.starts_s[a]) / (found.starts_s[b] - found.starts_s[a]))
        _set(row, h, found, dew, a, b, share)


def _set(row: Row, h: int, found: Readings, dew: Floats, a: int, b: int, share: float) -> None:
    def mixed(values: Floats) -> float:
        return float(values[a] if share == 0 else values[a] + share * (values[b] - values[a]))

    known = np.fmax(found.known_s[a], found.known_s[b])
    source = days.FORECAST if np.isfinite(known) else days.MEASURED if share == 0 else days.BETWEEN
    age_d = (row.starts_s[h] - known) / days.S_PER_DAY if np.isfinite(known) else 0.0
    spread = float(days.spread_k(source, np.asarray(age_d)))
    row.source[h], row.known_s[h] = source, known
    row.temp_c[h], row.dew_c[h] = mixed(found.temp_c), mixed(dew)
    row.temp_spread_k[h] = row.dew_spread_k[h] = spread
    row.wind_m_s[h], row.wind_from_deg[h] = mixed(found.wind_m_s), _bearing(found, a, b, share)
    row.rain_mm[h] = max(found.rain_mm[a], found.rain_mm[b]) if share else found.rain_mm[a]


def _bearing(found: Readings, a: int, b: int, share: float) -> float:
    """The shorter way round: the mean of 350 and 10 is 0."""
    turn = (found.wind_from_deg[b] - found.wind_from_deg[a] + 180.0) % 360.0 - 180.0
    return float(found.wind_from_deg[a] if share == 0 else (found.wind_from_deg[a] + share * turn) % 360.0)


def _typical(row: Row, typical: dict[tuple[int, int], TypicalHour]) -> None:
    for h in np.flatnonzero(row.source == days.NOTHING):
        at = datetime.fromtimestamp(float(row.starts_s[h]), UTC)
        hour = typical.get((at.month, at.hour))
        if hour is None:
            continue
        row.source[h] = days.TYPICAL
        row.temp_c[h], row.dew_c[h] = hour.temp_c[1], min(hour.dew_c[1], hour.temp_c[1])
        row.temp_spread_k[h] = (hour.temp_c[2] - hour.temp_c[0]) / 2.0
        row.dew_spread_k[h] = (hour.dew_c[2] - hour.dew_c[0]) / 2.0
        row.wind_m_s[h] = np.nan if hour.wind_m_s is None else hour.wind_m_s
