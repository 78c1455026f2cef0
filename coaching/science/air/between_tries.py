"""Between tries: how long a damp finger needs to dry and a hot one to cool, with and without a hand fan."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coaching.science.air.air_quantities import chosen
from coaching.science.air.convection import finger_convection_w_m2_k
from coaching.science.air.drying import Seconds, cooling_s, film_evaporation_g_m2_h, film_time_s
from coaching.science.air.moist_air import Air
from coaching.science.air.psychrometrics import Values
from coaching.science.inputs import Floats


class Sweat(NamedTuple):
    """Sweat of finger skin, g/m2/h: at rest and with effort."""

    rest_g_m2_h: Floats
    effort_g_m2_h: Floats


class Pause(NamedTuple):
    """What a pause between tries must last.

    `dry` is a range over what the dampness leaves open; infinite where sweat comes faster than it leaves.
    `cool` is a lower bound at both ends (wet all the while, dry all the while): blood keeps the finger warm
    for longer.
    """

    dry: Seconds
    cool: Seconds


class BetweenTries(NamedTuple):
    """Pauses in the air as it is and with a hand fan."""

    plain: Pause
    fanned: Pause


def sweat_of(dampness_pt: Values) -> Sweat:
    """Return what a dampness stands for in sweat.

    Parameters: dampness_pt (any shape, 0-10 on the athlete's own scale).
    Returns: Sweat, same shape.
    Raises: nothing.
    Assumes: the logarithm of sweat grows evenly with the rating, from the dry end of healthy palms at 0 to
        the mean of hyperhidrosis at 10; effort multiplies it alike for all.
    Source: assumption between published ends (register of the air model); tests/reference/test_air_drying.py.
    """
    share = np.clip(np.asarray(dampness_pt, dtype=np.float64), 0.0, 10.0) / 10.0
    low, high = chosen("sweat_dry_g_m2_h"), chosen("sweat_damp_g_m2_h")
    rest = low * (high / low) ** share
    return Sweat(rest, chosen("sweat_effort_factor") * rest)


def between_tries(air: Air, dampness_pt: Values) -> BetweenTries:
    """Return the pauses that an athlete's fingers need at places and hours.

    Parameters: air; dampness_pt (0-10 on the athlete's own scale); shapes broadcast.
    Returns: BetweenTries, broadcast shape, s.
    Raises: nothing.
    Assumes: sweat of the try stays on the finger as a film; a fan of the register's range at arm's length.
    Source: film and heat balances of this package; tests/reference/test_air_pauses.py.
    """
    slow, fast = air.blown(chosen("fan_slow_m_s")), air.blown(chosen("fan_fast_m_s"))
    return BetweenTries(_pause(air, air, dampness_pt), _pause(fast, slow, dampness_pt))


def _pause(best: Air, worst: Air, dampness_pt: Values) -> Pause:
    spread = chosen("correlation_spread_frac")
    hot, end = chosen("skin_hot_c"), chosen("skin_sweats_above_c")
    cool = Seconds(
        cooling_s(best, hot, end, wet=True, convection_factor=1 + spread),
        cooling_s(worst, hot, end, wet=False, convection_factor=1 - spread),
    )
    sweat = sweat_of(dampness_pt)
    shortest = _drying_s(
        best, chosen("skin_warm_c"), 1 + spread, sweat.rest_g_m2_h * chosen("try_short_min") / 60, sweat.rest_g_m2_h
    )
    longest = _drying_s(
        worst, chosen("skin_cool_c"), 1 - spread, sweat.effort_g_m2_h * chosen("try_long_min") / 60, sweat.effort_g_m2_h
    )
    return Pause(Seconds(shortest, longest), cool)


def _drying_s(air: Air, skin_c: float, factor: float, film_um: Floats, sweat_g_m2_h: Floats) -> Floats:
    h = factor * finger_convection_w_m2_k(air.temp_c, skin_c, air.wind_m_s, air.pressure_pa)
    return film_time_s(film_um, film_evaporation_g_m2_h(air, skin_c, h) - sweat_g_m2_h)
