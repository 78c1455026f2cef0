"""A typical year from open data for a place: months ahead it stands in for a forecast, always marked as typical."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from django.db import transaction

from athletes.records import queries_air, writes_air
from athletes.records.errors import BadInput
from athletes.records.queries_air import Floats
from coaching.science.air.psychrometrics import dew_point_c, vapour_pressure_pa

DATE, TIME = "Date (MM/DD/YYYY)", "Time (HH:MM)"
COLUMNS = ("Dry-bulb (C)", "Dew-point (C)", "RHum (%)", "Wspd (m/s)", "Wdir (degrees)")
APART_K = 2.0
"""A station's own dew point and that of its humidity never differ by so much: the record is flagged."""
LEAST_HOURS = 8000
COMMON_YEAR = 2001


@dataclass(frozen=True)
class TypicalYear:
    """Hours of a typical year, each by its start in standard time; the years of its months are left out."""

    station: str
    ahead_h: float  # of UTC
    starts: tuple[datetime, ...]
    temp_c: Floats
    dew_c: Floats  # as the station told it
    rh_pct: Floats
    wind_m_s: Floats
    wind_from_deg: Floats

    @property
    def humid_dew_c(self) -> Floats:
        """The dew point that the humidity stands for, over water."""
        return dew_point_c(vapour_pressure_pa(self.temp_c, np.maximum(self.rh_pct, 1.0) / 100.0))

    @property
    def flagged(self) -> np.ndarray:
        """Hours whose two dew points contradict each other above freezing, where both are over water."""
        return (np.abs(self.humid_dew_c - self.dew_c) > APART_K) & (self.dew_c > 0)


def read_typical(data: bytes) -> TypicalYear:
    """A TMY3 file, whole or cut to the columns read. Raises BadInput naming what is wrong."""
    try:
        rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))
        station, ahead = rows[0][1], float(rows[0][3])
        places = [rows[1].index(name) for name in (DATE, TIME, *COLUMNS)]
        starts = tuple(_start(row[places[0]], row[places[1]]) for row in rows[2:])
        values = np.array([[float(row[at]) for at in places[2:]] for row in rows[2:]])
    except (UnicodeDecodeError, csv.Error, IndexError, ValueError) as error:
        raise BadInput("file", "is not a typical year as TMY3 has it", str(error)[:60], "give a TMY3 file") from None
    if len(starts) < LEAST_HOURS or not -12 <= ahead <= 14:
        raise BadInput("file", "is not a whole year", len(starts), "give 8760 hours and the station's offset")
    if not np.isfinite(values).all() or np.abs(values[:, 0]).max() > 60 or not 0 <= values[:, 2].min() <= 100:
        raise BadInput("file", "holds values that no air has", None, "check temperature and humidity")
    return TypicalYear(station, ahead, starts, *values.T)


def _start(day: str, end: str) -> datetime:
    """Hours are stamped by their end, 01:00 to 24:00; 29 February, where a leap year lent its month, is the 28th."""
    month, of_month = int(day[:2]), int(day[3:5])
    at = datetime(COMMON_YEAR, month, min(of_month, 28) if month == 2 else of_month)
    return at + timedelta(hours=int(end[:2]) - 1)


def by_month(year: TypicalYear, source: str) -> list[Mapping[str, Any]]:
    """Middle and 10 and 90 % ends of each hour (UTC) of each month."""
    utc = [at - timedelta(hours=year.ahead_h) for at in year.starts]
    keys = np.array([at.month * 24 + at.hour for at in utc])
    rows: list[Mapping[str, Any]] = []
    for key in np.unique(keys):
        here = keys == key
        temp, dew = (np.quantile(v[here], (0.1, 0.5, 0.9)) for v in (year.temp_c, year.humid_dew_c))
        rows.append({
            "month": int(key // 24), "hour_utc": int(key % 24), "source": source[:200],
            "temp_low_c": float(temp[0]), "temp_c": float(temp[1]), "temp_high_c": float(temp[2]),
            "dew_low_c": float(dew[0]), "dew_c": float(dew[1]), "dew_high_c": float(dew[2]),
            "wind_m_s": float(np.median(year.wind_m_s[here])),
        })  # fmt: skip
    return rows


@dataclass(frozen=True)
class Imported:
    station: str
    hours: int
    flagged: int


def import_typical(place_code: str, data: bytes, source: str = "") -> Imported:
    """Put a typical year under a place, on the machine itself. Raises NotFound and BadInput."""
    place, year = queries_air.place_by_code(place_code), read_typical(data)
    rows: Sequence[Mapping[str, Any]] = by_month(year, source or f"typical year (TMY3) of {year.station.title()}")
    with transaction.atomic():
        writes_air.store_typical(place.id, rows)
    return Imported(year.station, len(year.starts), int(year.flagged.sum()))
