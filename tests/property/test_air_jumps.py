"""Nothing that is told of air jumps with anything that goes into it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.science.air import psychrometrics as air
from coaching.science.air.condensation import settling_point_c
from coaching.science.air.convection import finger_convection_w_m2_k
from coaching.science.air.drying import cooling_s, film_evaporation_g_m2_h
from coaching.science.air.limits import brittleness_frac, humidity_at_skin_frac
from coaching.science.air.moist_air import air_of

SEA_PA = 101_325.0
temps = st.floats(-30, 45)
skins = st.floats(24, 36)


@given(temps, skins)
def test_convection_does_not_jump_about_still_air(temp_c: float, skin_c: float) -> None:
    """A manikin formula with a switch at 0.2 m/s jumps twofold; here no step of 1 mm/s moves it by 3 %."""
    winds = np.arange(0.0, 0.4, 0.001)
    h = finger_convection_w_m2_k(temp_c, skin_c, winds, SEA_PA)
    assert np.all(np.diff(h) >= -1e-12)
    natural = float(h[0])
    if abs(temp_c - skin_c) > 1:
        assert (np.diff(h) / natural).max() < 0.03


@pytest.mark.parametrize("skin_c", [27.9, 33.6])
def test_nothing_jumps_with_temperature(skin_c: float) -> None:
    """Fine steps through 0 C and through the skin's own temperature."""
    temps_c = np.arange(-10.0, 40.0, 0.01)
    here = air_of(temps_c, 0.6, 0.1)
    wet, loss = (
        air.wet_bulb_c(temps_c, here.vapour_pa, here.pressure_pa),
        film_evaporation_g_m2_h(here, skin_c),
    )
    assert np.abs(np.diff(wet)).max() < 0.012 and np.abs(np.diff(loss)).max() < 0.02 * np.abs(loss).max()
    brittle = brittleness_frac(humidity_at_skin_frac(here.vapour_pa, skin_c), skin_c)
    assert np.abs(np.diff(brittle)).max() < 0.005


@pytest.mark.parametrize("temp_c", [-12.0, 0.0, 18.0, 31.0])
def test_nothing_jumps_with_humidity_or_wind(temp_c: float) -> None:
    """From nearly no vapour to full air and from still air to a gale: the largest step of a quantity shrinks with the
    grid, to about half of it on one twice as fine; a jump would stay as large as it is.
    """

    def steps(n: int) -> list[float]:
        humid = np.linspace(0.02, 1.0, n)
        vapour = air.vapour_pressure_pa(temp_c, humid)
        courses = [air.wet_bulb_c(temp_c, vapour, SEA_PA), air.absolute_humidity_g_m3(temp_c, vapour),
                   settling_point_c(vapour), brittleness_frac(humidity_at_skin_frac(vapour, 30.0), 30.0)]  # fmt: skip
        for here in (air_of(temp_c, humid, 1.0), air_of(temp_c, 0.5, np.linspace(0.0, 20.0, n))):
            courses += [film_evaporation_g_m2_h(here, 31.0), cooling_s(here, 35.0, 33.0, wet=True)]
        return [float(np.abs(np.diff(course)).max()) for course in courses]

    for coarse, fine in zip(steps(1001), steps(2001), strict=True):
        assert fine < 0.7 * coarse
