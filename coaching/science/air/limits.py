"""Limits that air sets to skin and people: brittle in dry air, clumsy and numb in cold, heat as a safety note.

None of these is a friction: no measurement supports a percentage of grip from the weather.
"""

from __future__ import annotations

import numpy as np

from coaching.science.air.air_quantities import chosen
from coaching.science.air.drying import Seconds, cooling_s
from coaching.science.air.moist_air import Air
from coaching.science.air.psychrometrics import Values, humidity_frac
from coaching.science.inputs import Floats, Ints

COLD_SIGNS: tuple[str, ...] = ("able", "clumsy", "numb")
"""What the cold does to a finger; index as returned by `cold_sign`."""


def humidity_at_skin_frac(vapour_pa: Values, skin_c: Values) -> Floats:
    """Return the humidity that the horny layer feels: that of the air warmed to the skin.

    Parameters: vapour_pa (Pa, of the air); skin_c (C); shapes broadcast.
    Returns: broadcast shape, 0-1, cut at 1 where water settles on the skin.
    Raises: nothing.
    Assumes: no sweat on the skin; sweat softens it whatever the air.
    Source: definition of relative humidity (WMO-No. 8); tests/reference/test_air_limits.py.
    """
    return np.minimum(humidity_frac(skin_c, vapour_pa), 1.0)


def brittleness_frac(at_skin_frac: Values, skin_c: Values) -> Floats:
    """Return how brittle dry air leaves horny skin: a rank among hours, not a chance of splitting.

    Parameters: at_skin_frac (0-1, humidity at the skin); skin_c (C); shapes broadcast.
    Returns: broadcast shape, 0 soft to 1 brittle; half at 70 % and 25 C.
    Raises: nothing.
    Assumes: warmth counts as the humidity that holds as much more water, fading out between 60 and 90 %; the
        steepness of the turn is ours, the papers give none.
    Source: signs and knee only: Wildnauer et al. 1971 (dry skin stretches 20 %, wet 190 %), Papir et al. 1975
        (brittle to ductile above about 70 % at 25 C), Spencer et al. 1975 (more water with warmth below 60 %,
        none at 90 %); tests/reference/test_air_limits.py.
    """
    wet = np.asarray(at_skin_frac, dtype=np.float64)
    fade = np.clip((0.9 - wet) / 0.3, 0.0, 1.0)
    gain = np.exp(chosen("water_gain_per_k") * (np.asarray(skin_c, dtype=np.float64) - 25.0) * fade)
    distance = (wet * gain - chosen("brittle_knee_frac")) / chosen("brittle_width_frac")
    return 1.0 / (1.0 + np.exp(np.clip(distance, -500.0, 500.0)))


def cold_sign(finger_c: Values, rewarming: bool = False) -> Ints:
    """Return what the cold does to a finger at a temperature of its skin.

    Parameters: finger_c (any shape, C, of finger skin); rewarming (coming back from the cold).
    Returns: same shape, index into COLD_SIGNS; -1 where the temperature is not known.
    Raises: nothing.
    Assumes: averages of small groups; one finger may differ from the next by several kelvins.
    Source: dexterity Chapman et al. 2025, touch Provins & Morton 1960; tests/reference/test_air_limits.py.
    """
    finger = np.asarray(finger_c, dtype=np.float64)
    clumsy = chosen("clumsy_rewarming_below_c" if rewarming else "clumsy_below_c")
    numb = chosen("numb_below_c")
    return np.select([np.isnan(finger), finger < numb, finger < clumsy], [-1, 2, 1], default=0).astype(np.int64)


def soonest_clumsy_s(air: Air, start_c: float | None = None) -> Seconds:
    """Return how soon a bare finger may turn clumsy: a lower bound, with no blood to warm it.

    Parameters: air; start_c (C), skin of a warm finger where not given.
    Returns: Seconds: wet all the while, dry all the while; infinite where the air cannot cool it so far.
    Raises: nothing.
    Assumes: as `cooling_s`; cold rock under the finger cools it faster still.
    Source: heat balance to the limit of Chapman et al. 2025; tests/reference/test_air_limits.py.
    """
    start = chosen("skin_warm_c") if start_c is None else start_c
    ends = [cooling_s(air, start, chosen("clumsy_below_c"), wet) for wet in (True, False)]
    return Seconds(ends[0], ends[1])


def heat_index_c(temp_c: Values, humidity_frac: Values) -> Floats:
    """Return the heat index, a safety note on heat illness and nothing about skin or grip.

    Parameters: temp_c (C); humidity_frac (0-1); shapes broadcast.
    Returns: broadcast shape, C; about the temperature itself in mild air.
    Raises: nothing.
    Assumes: shade, light wind, a walking adult; sun adds up to 8 K. Steps slightly where its parts meet, as
        published.
    Source: US National Weather Service, Rothfusz 1990 (SR 90-23) with its adjustments;
        tests/reference/test_air_limits.py.
    """
    t = 1.8 * np.asarray(temp_c, dtype=np.float64) + 32.0
    r = 100.0 * np.asarray(humidity_frac, dtype=np.float64)
    mild = 0.5 * (0.5 * (t + 61.0 + (t - 68.0) * 1.2 + 0.094 * r) + t)
    return (np.where(mild >= 80.0, _rothfusz_f(t, r) + _adjustment_f(t, r), mild) - 32.0) / 1.8


def _rothfusz_f(t: Floats, r: Floats) -> Floats:
    plain = -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r
    squares = -6.83783e-3 * t * t - 5.481717e-2 * r * r
    return plain + squares + 1.22874e-3 * t * t * r + 8.5282e-4 * t * r * r - 1.99e-6 * t * t * r * r


def _adjustment_f(t: Floats, r: Floats) -> Floats:
    arid = -(13.0 - r) / 4.0 * np.sqrt(np.maximum(17.0 - np.abs(t - 95.0), 0.0) / 17.0)
    damp = (r - 85.0) / 10.0 * (87.0 - t) / 5.0
    return np.select([(r < 13) & (t >= 80) & (t <= 112), (r > 85) & (t >= 80) & (t <= 87)], [arid, damp], default=0.0)
