"""The open forecast of the Norwegian Meteorological Institute, Locationforecast 2.0, format `compact`.

Written from its published documentation (General Forecast Format and data model; terms: an identifying User-Agent, at
most four decimals, nothing asked before `Expires`; data CC BY 4.0). Not proven against the live service: no question
has ever been sent to it from here, only to a stub on this machine.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from typing import Any
from urllib.parse import urlencode

from athletes.records.errors import BadInput
from athletes.records.queries_air import PlaceFacts
from athletes.records.writes_air import air_row
from coaching.usecases.forecasts.fetching import Failed, Fetched

NAME = "MET Norway"
UNITS = {
    "air_temperature": "celsius", "relative_humidity": "%", "wind_speed": "m/s", "wind_from_direction": "degrees",
    "cloud_area_fraction": "%", "precipitation_amount": "mm",
}  # fmt: skip
COLUMNS = {
    "air_temperature": "temp_c", "relative_humidity": "rh_pct", "wind_speed": "wind_m_s",
    "wind_from_direction": "wind_from_deg", "cloud_area_fraction": "cloud_pct",
}  # fmt: skip
NEEDED = ("air_temperature", "relative_humidity")
MOST_HOURS, MOST_DAYS = 400, 16


@dataclass(frozen=True)
class Issue:
    """One forecast of one place: when it was known, its rows, and before when nobody need ask again."""

    known_at: datetime
    rows: tuple[tuple[Any, ...], ...]
    not_before: datetime | None


def question(base: str, place: PlaceFacts) -> str:
    """The url for a place that has a position; four decimals, as the service asks for."""
    asked = {"lat": f"{place.lat:.4f}", "lon": f"{place.lon:.4f}"}
    if place.altitude_m is not None:
        asked["altitude"] = f"{max(place.altitude_m, -500):.0f}"
    return f"{base}?{urlencode(asked)}"


def read(found: Fetched, now: datetime) -> Issue:
    """The rows of an answer. Raises Failed: not-json, form, units or values."""
    if "json" not in found.content_type.lower():
        raise Failed("not-json")
    try:
        told = json.loads(found.body.decode("utf-8"), parse_constant=_refused)
    except (ValueError, RecursionError):
        raise Failed("not-json") from None
    try:
        properties = told["properties"]
        meta, series = properties["meta"], properties["timeseries"]
        known_at = _instant(meta["updated_at"])
        _units(meta["units"])
        rows = [_row(step, known_at) for step in series[:MOST_HOURS] if _has_all(step)]
    except (KeyError, TypeError, AttributeError, IndexError):
        raise Failed("form") from None
    except (BadInput, ValueError, OverflowError):
        raise Failed("values") from None
    if not rows or not now - timedelta(days=MOST_DAYS) <= known_at <= now + timedelta(hours=1):
        raise Failed("values")
    return Issue(min(known_at, now), tuple(rows), _expires(found.expires, now))


def _refused(text: str) -> float:
    raise ValueError(text)


def _instant(text: str) -> datetime:
    found = datetime.fromisoformat(text)
    if found.tzinfo is None:
        raise ValueError(text)
    return found.astimezone(UTC)


def _units(told: Mapping[str, Any]) -> None:
    """A unit is never guessed: one that is not the documented one is refused."""
    for name, unit in UNITS.items():
        if told.get(name, None if name in NEEDED else unit) != unit:
            raise Failed("units")


def _has_all(step: Mapping[str, Any]) -> bool:
    return all(step["data"]["instant"]["details"].get(name) is not None for name in NEEDED)


def _row(step: Mapping[str, Any], known_at: datetime) -> tuple[Any, ...]:
    details = step["data"]["instant"]["details"]
    rain = step["data"].get("next_1_hours", {}).get("details", {}).get("precipitation_amount")
    values: dict[str, Any] = {column: _number(details.get(name)) for name, column in COLUMNS.items()}
    values |= {"starts_at": _instant(step["time"]), "known_at": known_at, "rain_mm": _number(rain)}
    return air_row(values)


def _number(value: Any) -> float | None:
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise ValueError("not a number")
    return float(value)


def _expires(text: str, now: datetime) -> datetime | None:
    """Within a day; what cannot be read is not known."""
    try:
        found = parsedate_to_datetime(text)
    except (ValueError, TypeError):
        return None
    if found.tzinfo is None:
        return None
    return min(found.astimezone(UTC), now + timedelta(days=1))
