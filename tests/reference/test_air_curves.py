"""Slopes of the saturation curves and what carries heat in air, against laws and printed tables."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import approx_fprime

from coaching.science.air.curves import ICE, WATER, Curve, log_pressure, log_slope
from coaching.science.air.moist_air import conductivity_w_m_k, viscosity_pa_s

VAPOUR_J_KG_K = 461.52


@pytest.mark.parametrize(("curve", "low_k", "high_k"), [(ICE, 213.15, 273.15), (WATER, 263.15, 323.15)])
def test_the_slope_is_that_of_the_curve(curve: Curve, low_k: float, high_k: float) -> None:
    """Forward differences of a general library, a step of .01 K: good to some 1e-6."""
    for temp_k in np.linspace(low_k, high_k, 13):
        near = approx_fprime(np.array([temp_k]), lambda t: float(log_pressure(t, curve)[0]), 1e-4)  # noqa: B023
        assert log_slope(np.array([temp_k]), curve)[0] == pytest.approx(near[0], rel=2e-6)


@pytest.mark.parametrize(("curve", "latent_j_kg"), [(ICE, 2.8345e6), (WATER, 2.5009e6)])
def test_the_slope_at_the_triple_point_is_what_heat_of_the_change_asks(curve: Curve, latent_j_kg: float) -> None:
    """Clausius and Clapeyron, heats of IAPWS (from memory); vapour is no ideal gas by half a thousandth."""
    expected = latent_j_kg / (VAPOUR_J_KG_K * 273.16**2)
    assert log_slope(np.array([273.16]), curve)[0] == pytest.approx(expected, rel=2e-3)


def test_standard_air_at_sea_level_to_five_printed_digits() -> None:
    """US Standard Atmosphere 1976, sea level (288.15 K): viscosity 1.7894e-5 Pa s, conductivity 2.5326e-2 W/m/K."""
    assert viscosity_pa_s(15.0) == pytest.approx(1.7894e-5, abs=0.5e-9)
    assert conductivity_w_m_k(15.0) == pytest.approx(2.5326e-2, abs=0.5e-6)
