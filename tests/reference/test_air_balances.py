"""Balances of a finger's heat and water written out once more, against SciPy's solver of differential equations."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from coaching.science.air.air_quantities import chosen
from coaching.science.air.condensation import shaded_rock_c
from coaching.science.air.convection import finger_convection_w_m2_k, vapour_transfer_kg_m2_s_pa
from coaching.science.air.drying import cooling_s, film_evaporation_g_m2_h
from coaching.science.air.limits import brittleness_frac
from coaching.science.air.moist_air import air_of, latent_j_kg
from coaching.science.air.psychrometrics import saturation_over_water_pa
from coaching.science.air.sun import refraction_deg


def test_a_film_loses_what_its_own_temperature_and_the_vapour_of_the_air_say() -> None:
    """kg/m2/s/Pa at the mean of skin and air, as correlations of films ask, times the lack of vapour; 3.6e6 to g/h."""
    for temp_c, skin_c in ((5.0, 32.0), (30.0, 34.0)):
        air = air_of(temp_c, 0.4, 2.0)
        h = finger_convection_w_m2_k(temp_c, skin_c, 2.0, air.pressure_pa)
        transfer = vapour_transfer_kg_m2_s_pa(h, (skin_c + temp_c) / 2, air.pressure_pa)
        expected = 3.6e6 * transfer * (saturation_over_water_pa(skin_c) - air.vapour_pa)
        assert film_evaporation_g_m2_h(air, skin_c) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("wet", [False, True])
@pytest.mark.parametrize(("temp_c", "start_c", "end_c"), [(5.0, 33.0, 23.0), (20.0, 34.0, 28.0)])
def test_cooling_by_a_solver_of_differential_equations(wet: bool, temp_c: float, start_c: float, end_c: float) -> None:
    """A long cylinder of one temperature: rho c D / 4 dT/dt = -(loss by convection, radiation and water)."""
    air = air_of(temp_c, 0.5, 1.5)

    def slope(_: float, skin: np.ndarray) -> np.ndarray:
        h = finger_convection_w_m2_k(temp_c, skin, 1.5, air.pressure_pa)
        loss = (h + chosen("radiation_w_m2_k")) * (skin - temp_c)
        water = latent_j_kg(skin) * film_evaporation_g_m2_h(air, skin, h) / 3.6e6 if wet else 0.0
        return -(loss + water) * 4.0 / (chosen("tissue_j_m3_k") * chosen("finger_diameter_m"))

    def cooled(_: float, skin: np.ndarray) -> float:
        return float(skin[0] - end_c)

    cooled.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(slope, (0.0, 1e5), [start_c], events=cooled, rtol=1e-8, max_step=20.0)
    assert cooling_s(air, start_c, end_c, wet=wet) == pytest.approx(run.t_events[0][0], rel=0.01)  # its dozen of steps


def test_shaded_rock_follows_the_air_from_the_first_hour_on() -> None:
    """Hour by hour by hand: the share exp(-1 / lag) of the gap to the new air is left."""
    air = np.array([10.0, 16.0, 12.0, 12.0])
    keep, expected = np.exp(-1 / 6), [10.0]
    for temp in air[1:]:
        expected.append(temp + keep * (expected[-1] - temp))
    assert shaded_rock_c(air, 6.0) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("humidity", "share"), [(0.2, 1.0), (0.6, 1.0), (0.75, 0.5), (0.9, 0.0), (1.0, 0.0)])
def test_warmth_counts_in_full_up_to_sixty_percent_and_not_from_ninety_on(humidity: float, share: float) -> None:
    """Spencer et al. 1975: the humidity that holds as much more water; a logistic turn about the knee."""
    gain = np.exp(chosen("water_gain_per_k") * 8.0 * share)
    distance = (humidity * gain - chosen("brittle_knee_frac")) / chosen("brittle_width_frac")
    assert float(brittleness_frac(humidity, 33.0)) == pytest.approx(1 / (1 + np.exp(distance)), rel=1e-9)


def test_refraction_fades_to_nought_six_degrees_below_the_horizon() -> None:
    """A straight line from one degree below, where the published formula ends for us (judgement)."""
    lift = [float(refraction_deg(h)) for h in (-1.0, -3.5, -6.0, -9.0)]
    assert lift[0] > 0.5 and lift[1] == pytest.approx(lift[0] / 2, rel=1e-9) and lift[2] == lift[3] == 0.0
