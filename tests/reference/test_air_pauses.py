"""Both ends of a pause between tries by hand: handbook coefficient and Lewis ratio, a two-node model's vapour curve.

Air of 20 C, 50 %, 1 m/s at sea level. A cylinder of 16 mm has 26.4 W/m2/K there (Churchill & Bernstein 1977, air of
300 K), give or take the 20 % by which correlations differ.
"""

from __future__ import annotations

import numpy as np
import pytest

from coaching.science.air import day as days
from coaching.science.air.between_tries import between_tries
from coaching.science.air.moist_air import STANDARD_PA, air_of

HEAT_W_M2_K, LEWIS_K_KPA, LATENT_J_G, RADIATION_W_M2_K = 26.4, 16.5, 2430.0, 4.5
TISSUE_J_M2_K = 3.66e6 * 0.016 / 4.0
DRIEST, DAMPEST, EFFORT = 19.5, 133.6, 2.8
"""Palms at rest, g/m2/h: a standard deviation under the mean of healthy ones, and the mean of very damp ones; effort
multiplies them.
"""
CLOSE = 0.04
"""One per cent of the coefficient, one of the Lewis ratio between standards, two where sweat is taken off the loss."""


def kpa(temp_c: float) -> float:
    """Saturation over water as the two-node model of Gagge has it, 0.4 % from any other."""
    return 0.133322 * float(np.exp(18.6686 - 4030.183 / (temp_c + 235.0)))


def loss_g_m2_h(skin_c: float, factor: float) -> float:
    lack = kpa(skin_c) - 0.5 * kpa(20.0)
    return LEWIS_K_KPA * factor * HEAT_W_M2_K * lack * 3600.0 / LATENT_J_G


@pytest.mark.parametrize("dampness", [0.0, 5.0, 10.0])
def test_the_short_end_is_a_short_try_at_rest_on_warm_skin(dampness: float) -> None:
    """A minute of sweat at rest, skin at 33.6 C, a fifth more convection."""
    rest = DRIEST * (DAMPEST / DRIEST) ** (dampness / 10.0)
    by_hand = 3600.0 * (rest / 60.0) / (loss_g_m2_h(33.6, 1.2) - rest)
    found = between_tries(air_of(20.0, 0.5, 1.0), dampness).plain.dry.low_s
    assert found == pytest.approx(by_hand, rel=CLOSE)


@pytest.mark.parametrize("dampness", [0.0, 5.0, 10.0])
def test_the_long_end_is_a_long_try_with_effort_on_cool_skin(dampness: float) -> None:
    """Four minutes of sweat with effort, which goes on, skin at 27.9 C, a fifth less convection."""
    sweat = EFFORT * DRIEST * (DAMPEST / DRIEST) ** (dampness / 10.0)
    by_hand = 3600.0 * (4.0 * sweat / 60.0) / (loss_g_m2_h(27.9, 0.8) - sweat)
    found = between_tries(air_of(20.0, 0.5, 1.0), dampness).plain.dry.high_s
    assert found == pytest.approx(by_hand, rel=CLOSE)


def test_cooling_is_quickest_wet_and_slowest_dry() -> None:
    """From 35 to 33 C: wet with a fifth more convection at the mean of 34 C; dry with a fifth less, exponentially."""
    cool = between_tries(air_of(20.0, 0.5, 1.0), 5.0).plain.cool
    wet = (1.2 * HEAT_W_M2_K + RADIATION_W_M2_K) * (34.0 - 20.0)
    wet += LEWIS_K_KPA * 1.2 * HEAT_W_M2_K * (kpa(34.0) - 0.5 * kpa(20.0))
    assert cool.low_s == pytest.approx(TISSUE_J_M2_K * 2.0 / wet, rel=CLOSE)
    tau_s = TISSUE_J_M2_K / (0.8 * HEAT_W_M2_K + RADIATION_W_M2_K)
    assert cool.high_s == pytest.approx(tau_s * np.log(15.0 / 13.0), rel=CLOSE)


@pytest.mark.parametrize(("end", "fan"), [("low_s", 3.0), ("high_s", 1.0)])
def test_a_fan_is_a_wind_across_the_wind(end: str, fan: float) -> None:
    """A strong fan, 3 m/s, at the short end and a weak one, 1 m/s, at the long: as so much wind at right angles."""
    fanned = between_tries(air_of(20.0, 0.5, 1.0), 5.0).fanned.dry
    windy = between_tries(air_of(20.0, 0.5, float(np.hypot(1.0, fan))), 5.0).plain.dry
    assert getattr(fanned, end) == pytest.approx(float(getattr(windy, end)), rel=1e-12)


def test_doubt_of_the_temperature_brings_the_cold_nearer() -> None:
    """The lower bound of clumsiness is that of the cold end of the air."""

    def clumsy(temp_c: float, spread_k: float) -> float:
        one = np.ones(1)
        air = days.HourlyAir(temp_c * one, 0.6 * one, spread_k * one, 0.0 * one, 1.0 * one, 3.0 * one, STANDARD_PA)
        return float(days.read_hours(air, days.Fingers(4.0, 6.0)).clumsy_s[0])

    assert clumsy(6.0, 4.0) < clumsy(6.0, 1.0) < clumsy(6.0, 0.0)
    assert clumsy(6.0, 4.0) == pytest.approx(clumsy(2.0, 0.0), rel=1e-6)  # dry, so the dew point plays no part
