"""Distances over the globe, flights, and the air of a cabin."""

from __future__ import annotations

import numpy as np
import pytest

from coaching.science.air.journey import EARTH_RADIUS_KM, cabin, flight_h, great_circle_km


@pytest.mark.parametrize(
    ("here", "there", "km"),
    [
        ((0.0, 0.0), (0.0, 90.0), np.pi / 2 * EARTH_RADIUS_KM),
        ((90.0, 17.0), (-90.0, 3.0), np.pi * EARTH_RADIUS_KM),
        ((10.0, 20.0), (10.0, 20.0), 0.0),
        ((0.0, 179.5), (0.0, -179.5), np.pi / 180 * EARTH_RADIUS_KM),
    ],
)
def test_arcs_that_follow_from_the_definition(here: tuple[float, ...], there: tuple[float, ...], km: float) -> None:
    """Quarter and half of a great circle, and a degree across the date line; exact but for rounding."""
    assert float(great_circle_km(*here, *there)) == pytest.approx(km, abs=1e-6)


def test_a_minute_of_arc_is_about_a_nautical_mile() -> None:
    """1852 m by international definition, made to be a minute of latitude: 0.1 % on a sphere of the mean radius."""
    assert float(great_circle_km(45.0, 7.0, 45.0 + 1 / 60, 7.0)) == pytest.approx(1.852, rel=0.001)


def test_the_other_way_round_and_the_law_of_cosines() -> None:
    """Spherical law of cosines, by hand for 47 N 14 E and 28 N 14 W."""
    a, b, turn = np.radians(47.0), np.radians(28.0), np.radians(28.0)
    arc = np.arccos(np.sin(a) * np.sin(b) + np.cos(a) * np.cos(b) * np.cos(turn))
    assert float(great_circle_km(47, 14, 28, -14)) == pytest.approx(arc * EARTH_RADIUS_KM, rel=1e-9)
    assert great_circle_km(28, -14, 47, 14) == great_circle_km(47, 14, 28, -14)


def test_a_flight_grows_with_the_distance_and_has_its_ends() -> None:
    """Judgement: 800 km/h and half an hour; 8,400 km are eleven hours."""
    assert flight_h(np.array([0.0, 2000.0, 8400.0])).tolist() == [0.5, 3.0, 11.0]


def test_cabin_air_is_far_drier_than_any_hall() -> None:
    """5 and 15 % at 23 C: e = 140.5 and 421.4 Pa, dew points over water -18.7 and -5.0 C (Magnus form, WMO No. 8)."""
    air = cabin()
    for found, pa in ((air.low_c, 0.05 * 2809.0), (air.high_c, 0.15 * 2809.0)):
        y = np.log(pa / 611.2)
        assert found == pytest.approx(243.12 * y / (17.62 - y), abs=0.1)
