"""Every chosen number of the air model: one name, one unit, one range, one default and where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from coaching.science.quantities import Quantity

_P, _C, _J, _A = "published", "common practice", "judgement", "assumption"

_SWEAT = "water loss of palms: Taylor & Machado-Moreira 2013, doi 10.1186/2046-7648-2-4, and open abstracts"
_ROWS: tuple[tuple[Any, ...], ...] = (
    ("finger_diameter_m", "m", 0.010, 0.025, 0.016, _J, "a finger as a cylinder of 16 mm"),
    (
        "correlation_spread_frac",
        "1",
        0.1,
        0.4,
        0.2,
        _P,
        "spread of eight published cylinder correlations at the Reynolds numbers of a finger, about 20 %",
    ),
    (
        "radiation_w_m2_k",
        "W/m2/K",
        3.0,
        6.5,
        4.5,
        _P,
        "thermal manikin, de Dear et al. 1997; surroundings taken as warm as the air",
    ),
    (
        "tissue_j_m3_k",
        "J/m3/K",
        3.0e6,
        4.2e6,
        3.66e6,
        _J,
        "1050 kg/m3 and 3.49 kJ/kg/K, the usual body averages (from memory)",
    ),
    (
        "skin_warm_c",
        "C",
        31.0,
        35.0,
        33.6,
        _P,
        "dry palm 32.2 C, one sd of 1.4 K up; Dermatologica 1987;175:126-135",
    ),
    (
        "skin_cool_c",
        "C",
        25.0,
        31.0,
        27.9,
        _P,
        "sweating palm 29.7 C, one sd of 1.8 K down; Dermatologica 1987;175:126-135",
    ),
    ("skin_hot_c", "C", 33.5, 37.0, 35.0, _J, "skin of a finger straight after a hard try"),
    (
        "skin_sweats_above_c",
        "C",
        32.0,
        34.0,
        33.0,
        _P,
        "local skin temperature drives sweat above about 33 C; Van Beaumont & Bullard 1965",
    ),
    ("sweat_dry_g_m2_h", "g/m2/h", 5.0, 35.0, 19.5, _P, _SWEAT + "; mean less one sd of 25 controls"),
    ("sweat_damp_g_m2_h", "g/m2/h", 80.0, 200.0, 133.6, _P, _SWEAT + "; mean of 50 with hyperhidrosis"),
    (
        "sweat_effort_factor",
        "1",
        1.0,
        4.0,
        2.8,
        _A,
        "most of heated fingers, 372 g/m2/h, over the dampest palms at rest, 134; same factor for all",
    ),
    ("try_short_min", "min", 0.5, 2.0, 1.0, _J, "a short try"),
    ("try_long_min", "min", 2.0, 8.0, 4.0, _J, "a long try"),
    ("fan_slow_m_s", "m/s", 0.3, 2.0, 1.0, _J, "weak hand fan at arm's length; no measurement found"),
    ("fan_fast_m_s", "m/s", 1.5, 6.0, 3.0, _J, "strong hand fan close by; no measurement found"),
    (
        "clumsy_below_c",
        "C",
        18.0,
        26.0,
        22.9,
        _P,
        "finger skin while cooling; Chapman et al. 2025, doi 10.14814/phy2.70342, n = 14",
    ),
    ("clumsy_rewarming_below_c", "C", 20.0, 28.0, 25.7, _P, "finger skin while rewarming; Chapman et al. 2025"),
    ("numb_below_c", "C", 4.0, 12.0, 8.0, _P, "touch fails; Provins & Morton 1960, J Appl Physiol 15:155"),
    (
        "brittle_knee_frac",
        "1",
        0.6,
        0.8,
        0.7,
        _P,
        "brittle to ductile above about 70 % at 25 C, newborn rat; Papir et al. 1975",
    ),
    ("brittle_width_frac", "1", 0.05, 0.2, 0.1, _A, "how fast it turns; the papers give no curve"),
    (
        "water_gain_per_k",
        "1/K",
        0.01,
        0.05,
        0.027,
        _P,
        "horny layer holds half more water at 35 than at 20 C under 60 %, ln(1.5)/15; Spencer et al. 1975",
    ),
    ("rock_lag_short_h", "h", 0.5, 4.0, 1.0, _A, "thin or wind-swept rock follows the air"),
    ("rock_lag_long_h", "h", 6.0, 48.0, 24.0, _A, "thick shaded rock follows the mean of about a day"),
    ("rock_first_hour_k", "K", 1.0, 6.0, 3.0, _J, "rock may be colder than the first air that is known of it"),
    ("reading_spread_k", "K", 0.3, 2.0, 1.0, _J, "a sensor, and the distance from it to the wall"),
    ("forecast_spread_k", "K", 0.5, 3.0, 1.5, _J, "half of the range of a forecast for today"),
    ("forecast_growth_k_per_day", "K/d", 0.1, 0.8, 0.35, _J, "what a day of lead adds to it"),
    ("forecast_spread_most_k", "K", 3.0, 8.0, 5.0, _J, "where a forecast knows no more than the season"),
    ("wind_unknown_m_s", "m/s", 1.0, 8.0, 4.0, _J, "most of an ordinary wind, where none is known"),
    ("indoor_draught_m_s", "m/s", 0.1, 0.6, 0.3, _J, "air of a hall moved by people and doors"),
    ("alike_dew_k", "K", 1.0, 6.0, 3.0, _J, "dew points nearer than this are taken for like air"),
    ("alike_temp_k", "K", 3.0, 10.0, 6.0, _J, "temperatures nearer than this are taken for like air"),
    ("flight_km_h", "km/h", 650.0, 950.0, 800.0, _J, "an airliner over the ground"),
    ("flight_ends_h", "h", 0.2, 1.0, 0.5, _J, "climb and descent beyond the time of the distance"),
    ("cabin_c", "C", 20.0, 26.0, 23.0, _J, "cabin of an airliner"),
    ("cabin_dry_frac", "1", 0.03, 0.1, 0.05, _C, "cabin air after about three hours, maker of humidifiers"),
    ("cabin_damp_frac", "1", 0.1, 0.25, 0.15, _C, "cabin air on a long flight, makers of airframes and humidifiers"),
    (
        "wind_record_m_s",
        "m/s",
        113.2,
        113.2,
        113.2,
        _P,
        "strongest surface gust on record, Barrow Island 1996 (World Meteorological Organization)",
    ),
)

AIR_QUANTITIES: Mapping[str, Quantity] = MappingProxyType({row[0]: Quantity(*row) for row in _ROWS})
"""The register of the air model: name -> quantity."""


def chosen(name: str) -> float:
    """Return the default of a quantity of the air model.

    Parameters: name (as registered).
    Returns: float, in the unit of the register.
    Raises: KeyError for a name that is not registered.
    Assumes: nothing.
    Source: each row of the register names its own.
    """
    return AIR_QUANTITIES[name].default
