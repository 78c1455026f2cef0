"""A day at a place in words and pictures, without a database: bounds by their names, cautions, lanes, the figure."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from athletes.records.queries_air import PlaceFacts
from coaching.science.air import day as days
from coaching.science.air.windows import PastAir
from coaching.usecases.day_told import Asked, Past, told
from coaching.usecases.hours_at_place import Row
from coaching.usecases.shown_air import DayAtPlace, Units, Whose
from coaching.wording.day_page import DaySeen

DAY = date(2027, 3, 11)
NOBODY = Whose(None, "", None, "", 0, 0)
CRAG = PlaceFacts(1, "p1", "Crag", 47.0, 14.0, 900.0, "crag", "granite", 120.0, 5.0, 200.0, "open")


def past(n: int = 0, temp_c: float = 12.0, dew_c: float = 4.0) -> PastAir:
    return PastAir(np.full(n, temp_c), np.full(n, dew_c), np.arange(n) % 4 > 0)


def page(whose: Whose = NOBODY, own: int = 0, units: Units = Units(), **air: Any) -> DaySeen:  # noqa: B008
    """36 hours of even air from the noon before; `air` gives columns of the row or of the place."""
    place = PlaceFacts(**{**CRAG.__dict__, **{k: air.pop(k) for k in list(air) if k in CRAG.__dict__}})
    first = datetime(2027, 3, 10, 11, tzinfo=UTC)
    starts = first.timestamp() + 3600.0 * np.arange(36)
    full: dict[str, Any] = {
        "source": days.MEASURED, "temp_c": 12.0, "dew_c": 4.0, "temp_spread_k": 1.0, "dew_spread_k": 1.0,
        "wind_m_s": 3.0, "wind_from_deg": 20.0, "rain_mm": 0.0, "known_s": np.nan,
    }  # fmt: skip
    columns = {name: np.resize(np.asarray(value), 36) for name, value in {**full, **air}.items()}
    asked = Asked(place, "Europe/Vienna", DAY, DAY, units, whose)
    return DaySeen(told(asked, Row(starts, **columns), "", Past(past(own), past()), (), lambda hours, surface: {}))


def words(seen: DaySeen) -> str:
    return " ".join([seen.headline, *seen.cautions, *seen.sure, *seen.between, *seen.unknowns, seen.order])


def test_a_pause_is_told_with_and_without_a_fan_and_each_end_by_the_bound_it_is() -> None:
    said = page(temp_c=22.0, dew_c=16.0, wind_m_s=1.0).between
    assert said[0].startswith("As it is: about ") and "over all that is open" in said[0]
    assert said[1].startswith("With a hand fan: ")
    assert any("lower bound: blood keeps it warm" in line for line in said)
    assert "short end is a lower bound" in said[-1] and "long end is an upper bound" in said[-1]


def test_where_sweat_outruns_the_air_it_says_so_and_gives_no_number() -> None:
    """36 C, nearly saturated, indoors: vapour at the finger's temperature is no drier than the finger."""
    seen = page(temp_c=36.0, dew_c=35.5, kind="hall", exposure="sheltered", wind_m_s=np.nan)
    assert "does not dry within 10 min" in seen.between[0] and "cold metal" in " ".join(seen.between)
    assert all(line.dry.startswith("over 10 min") for line in seen.table)


def test_heat_is_a_safety_note_and_no_word_on_skin() -> None:
    """38 C at a dew point of 24 C is 45 %: over 90 F on the public chart of heat index."""
    assert "Safety: the heat index reaches" in " ".join(page(temp_c=38.0, dew_c=24.0).cautions)
    assert not page(dew_c=8.0).cautions


def test_cold_air_is_told_by_how_soon_a_finger_may_turn_clumsy() -> None:
    seen = page(temp_c=-4.0, dew_c=-8.0, wind_m_s=6.0)
    assert "may turn clumsy after" in " ".join(seen.cautions)
    assert seen.windows and "cold: fingers may turn clumsy within" in seen.windows[0].why
    mild = page(temp_c=14.0, wind_m_s=12.0, temp_spread_k=5.0)
    assert mild.windows and not any("cold" in one.why for one in mild.windows) and not mild.cautions[1:]


def test_wet_rock_is_no_window_and_stands_under_the_air() -> None:
    """Air that turns warm and damp at six in the morning over rock of the cold night: dew on it for hours."""
    change = np.arange(36) >= 18
    seen = page(temp_c=np.where(change, 14.0, 2.0), dew_c=np.where(change, 13.5, -6.0), temp_spread_k=0.1,
                dew_spread_k=0.1)  # fmt: skip
    wet = [line for line in seen.table if "water" in line.rock]
    assert wet and wet[0].hour == "06:00"
    bars = [one for one in seen.figure["layout"]["shapes"] if one.get("fillcolor") == "token:ink-2"]
    assert bars and bars[0]["x0"] == 6.0 and "hours-wet" in seen.strip_wide and "hours-wet" in seen.strip_narrow
    assert not any(one.found.rock == 2 for one in seen.windows)


def test_rain_is_no_window() -> None:
    assert not page(rain_mm=1.0).windows and "No two hours in a row" in page(rain_mm=1.0).headline


@pytest.mark.parametrize(("bearing", "said"), [(20.0, "off the land"), (200.0, "off the sea"), (110.0, "along")])
def test_the_side_of_the_wind_stands_on_table_strip_and_figure(bearing: float, said: str) -> None:
    seen = page(wind_from_deg=bearing)
    assert all(said in line.wind for line in seen.table) and said in seen.strip_wide
    notes = {one["text"] for one in seen.figure["layout"]["annotations"]}
    assert any(said in text for text in notes) and {"air", "dew point"} <= notes


def test_the_lanes_of_strip_and_figure_name_the_same_things() -> None:
    seen = page(Whose("a01", "Ada", 5.0, "mixed", 12, 0), own=12)
    names = {"Windows", "Sun on the face", "Own days", "Wind, m/s"}
    drawn = {one["text"] for one in seen.figure["layout"]["annotations"]}
    assert names <= drawn and all(name in seen.strip_wide and name in seen.strip_narrow for name in names)
    assert json.loads(json.dumps(seen.figure, allow_nan=False))["layout"]["height"] == 430  # as JSON knows it
    assert seen.has_own and {line.own for line in seen.table} == {"9/12"}


def test_only_even_hours_are_named_on_a_phone_and_every_third_is_bold() -> None:
    narrow = page().strip_narrow
    assert ">06<" in narrow and ">07<" not in narrow and 'axis-day axis-monday" x' in narrow


def test_a_gap_stays_empty_and_is_said() -> None:
    hole = np.where(np.arange(36) == 24, np.nan, 12.0)
    seen = page(temp_c=hole, dew_c=hole - 8.0, source=np.where(np.isnan(hole), days.NOTHING, days.MEASURED))
    empty = [line for line in seen.table if line.temp == "not known"]
    assert len(empty) == 1 and empty[0].dry.startswith("not known") and "left empty" in " ".join(seen.sure)


def test_a_forecast_that_is_old_widens_what_is_told() -> None:
    """As `spread_k` has it: 1.5 K fresh, 0.35 K more a day, so that four days make 2.9 K."""
    middle = datetime(2027, 3, 11, 11, tzinfo=UTC)
    seen = []
    for age in (0.1, 4.0):
        spread = float(days.spread_k(days.FORECAST, np.asarray(age)))
        known = (middle - timedelta(days=age)).timestamp()
        seen.append(page(source=days.FORECAST, known_s=known, temp_spread_k=spread, dew_spread_k=spread))
    fresh, old = (one.day.hours[12] for one in seen)
    assert fresh.dry_s and old.dry_s and old.dry_s[1] > fresh.dry_s[1] and old.dry_s[0] <= fresh.dry_s[0]
    assert "older than these hours: every range is wider" in " ".join(seen[1].sure)
    assert "older than" not in " ".join(seen[0].sure)


def test_unknown_wind_widens_and_is_said() -> None:
    still, known = page(wind_m_s=np.nan, wind_from_deg=np.nan), page()
    a, b = still.day.hours[12].dry_s, known.day.hours[12].dry_s
    assert a and b and a[1] > b[1] and "Wind not known" in " ".join(still.sure)


@pytest.mark.parametrize("units", [Units(), Units("F", "mph"), Units("C", "kn"), Units("F", "km/h")])
def test_every_number_is_in_the_readers_units(units: Units) -> None:
    seen = page(units=units, temp_c=-4.0, dew_c=-8.0)
    shown = " ".join([words(seen), *(f"{line.temp} {line.dew} {line.wind}" for line in seen.table)])
    assert f"°{units.temperature}" in shown and f" {units.wind}" in shown
    assert ("°F" if units.temperature == "C" else "°C") not in shown
    temp = {"C": "−4 °C", "F": "25 °F"}[units.temperature]  # −4 C = 24.8 F
    wind = {"m/s": "3 m/s", "mph": "7 mph", "kn": "6 kn", "km/h": "11 km/h"}[units.wind]  # 3 m/s = 6.7, 5.8, 10.8
    assert seen.table[0].temp.startswith(temp) and seen.table[0].wind.startswith(wind)


def test_no_word_of_the_day_is_a_share_of_grip() -> None:
    shown = words(page()).lower()
    assert shown.count("friction") == 1 and "grip" not in shown and isinstance(page().day, DayAtPlace)
