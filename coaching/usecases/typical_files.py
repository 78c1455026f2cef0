"""Files of typical years: TMY3 (named columns) and TMY2 (fixed places), as the US laboratory that made them has it.

Manuals NREL/TP-581-43156 and NREL/SP-463-7668.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from athletes.records.errors import BadInput
from coaching.science.air.psychrometrics import dew_point_c, vapour_pressure_pa
from coaching.science.inputs import Floats

DATE, TIME = "Date (MM/DD/YYYY)", "Time (HH:MM)"
COLUMNS = ("Dry-bulb (C)", "Dew-point (C)", "RHum (%)", "Wspd (m/s)", "Wdir (degrees)")
FIXED_HEAD = re.compile(r" \d{5} [^,\n]{22} [A-Z]{2} ")
FIXED = ((67, 71, 10.0), (73, 77, 10.0), (79, 82, 1.0), (95, 98, 10.0), (90, 93, 1.0))
"""First and last place in a line, and parts of a unit: temperature, dew point, humidity, wind, where it comes from."""
APART_K = 2.0
"""A station's own dew point and that of its humidity never differ by so much: the record is flagged."""
LEAST_HOURS = 8000
COMMON_YEAR = 2001


@dataclass(frozen=True)
class TypicalYear:
    """Hours of a typical year, each by its start in standard time; the years of its months are left out."""

    station: str
    form: str  # of the file: TMY3 or TMY2
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
    """A TMY3 file, whole or cut to the columns read, or a TMY2 file. Raises BadInput naming what is wrong."""
    try:
        text = data.decode("utf-8-sig")
        year = _fixed(text) if FIXED_HEAD.match(text) else _columns(text)
    except (UnicodeDecodeError, csv.Error, IndexError, ValueError) as error:
        told = "is not a typical year as TMY3 or TMY2 has it"
        raise BadInput("file", told, str(error)[:60], "give a TMY3 or TMY2 file") from None
    if len(year.starts) < LEAST_HOURS or not -12 <= year.ahead_h <= 14:
        raise BadInput("file", "is not a whole year", len(year.starts), "give 8760 hours and the station's offset")
    values = np.array([year.temp_c, year.dew_c, year.rh_pct, year.wind_m_s, year.wind_from_deg])
    if not np.isfinite(values).all() or np.abs(values[0]).max() > 60 or not 0 <= values[2].min() <= 100:
        raise BadInput("file", "holds values that no air has", None, "check temperature and humidity")
    return year


def _columns(text: str) -> TypicalYear:
    """TMY3: names of columns in the second row."""
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    station, ahead = rows[0][1], float(rows[0][3])
    places = [rows[1].index(name) for name in (DATE, TIME, *COLUMNS)]
    starts = tuple(_start(row[places[0]], row[places[1]]) for row in rows[2:])
    values = np.array([[float(row[at]) for at in places[2:]] for row in rows[2:]])
    return TypicalYear(station, "TMY3", ahead, starts, *values.reshape(-1, len(COLUMNS)).T)


def _fixed(text: str) -> TypicalYear:
    """TMY2: places in the line. Temperatures and wind are told in tenths; all nines are not known."""
    head, *lines = text.splitlines()
    starts = tuple(_start(f"{line[3:5]}/{line[5:7]}", line[7:9]) for line in lines)
    values = [[_tenths(line[first:last], scale) for first, last, scale in FIXED] for line in lines]
    columns = np.array(values, dtype=np.float64).reshape(-1, len(FIXED)).T
    return TypicalYear(head[7:29].strip(), "TMY2", float(head[33:36]), starts, *columns)


def _tenths(field: str, scale: float) -> float:
    return float("nan") if not field.strip("9") else float(field) / scale


def _start(day: str, end: str) -> datetime:
    """Hours are stamped by their end, 01:00 to 24:00; 29 February, where a leap year lent its month, is the 28th."""
    month, of_month = int(day[:2]), int(day[3:5])
    at = datetime(COMMON_YEAR, month, min(of_month, 28) if month == 2 else of_month)
    return at + timedelta(hours=int(end[:2]) - 1)
