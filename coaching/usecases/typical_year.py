"""A typical year from open data for a place: months ahead it stands in for a forecast, always marked as typical."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import numpy as np
from django.db import transaction

from athletes.records import queries_air, writes_air
from coaching.usecases.typical_files import TypicalYear, read_typical


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
    told = source or f"typical year ({year.form}) of {year.station.title()}"
    rows: Sequence[Mapping[str, Any]] = by_month(year, told)
    with transaction.atomic():
        writes_air.store_typical(place.id, rows)
    return Imported(year.station, len(year.starts), int(year.flagged.sum()))
