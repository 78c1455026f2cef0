"""What beside damp and dry skin an event's air asks for: heat, cold, altitude, a long flight, another home."""

from __future__ import annotations

from django.utils.formats import number_format
from django.utils.translation import gettext

from coaching.science.air.journey import cabin
from coaching.science.air.moist_air import STANDARD_PA
from coaching.usecases.shown_air import Units
from coaching.usecases.shown_two_airs import Extreme, OneAir, TwoAirs
from coaching.wording import air_units

WARM_C = 20.0
"""Holds in the sun are hot from here on (judgement)."""
LONG_FLIGHT_H = 3.0
"""Nobody feels the dry air of a cabin sooner."""
LONGEST_COLD_S = 3600.0


def elsewhere(airs: TwoAirs, units: Units) -> str:
    """Those whose own home is another than that of most."""
    damper = gettext("%(place)s (%(n)d): %(gap)s damper there")
    drier = gettext("%(place)s (%(n)d): %(gap)s drier there")
    return "; ".join(
        (damper if one.gap_k > 0 else drier)
        % {"place": one.name, "n": one.athletes, "gap": air_units.temp_gap(one.gap_k, units)}
        for one in airs.others
    ) + "."  # fmt: skip


def hot(airs: TwoAirs, hottest: Extreme, units: Units) -> str:
    said = [
        gettext("Up to %(temp)s: a hot finger takes at least %(cool)s to cool (at home %(home)s).") % {
            "temp": air_units.temp(hottest.temp_c, units), "cool": _least(hottest.cool_s),
            "home": _least(airs.home_cool_s),
        }
    ]  # fmt: skip
    if airs.sun_h:
        words = gettext("The face has sun from %(first)d to %(last)d o'clock: holds in it are hotter than the air.")
        said.append(words % {"first": airs.sun_h[0], "last": airs.sun_h[1]})
    said.append(gettext("Shade, cool metal or a pack between tries, tape to warm up in, hard goes in the cool hours."))
    return " ".join(said)


def _least(value_s: float | None) -> str:
    if value_s is None:
        return gettext("not known")
    return gettext("over 10 min") if value_s > air_units.LONGEST_S else air_units.at_least(value_s)


def heat(index_c: float, units: Units) -> str:
    return gettext(
        "Heat index up to %(temp)s: drink, shade, shorter goes, stop at dizziness. It says nothing of skin."
    ) % {"temp": air_units.temp(index_c, units)}


def cold(coldest: Extreme, units: Units) -> str:
    words = gettext(
        "Down to %(temp)s: a bare finger may turn clumsy after %(n)d min in a slight draught, sooner in wind. Gloves "
        "to the last minute, a longer warm-up, few long rests rather than many short."
    )
    never = gettext(
        "Down to %(temp)s: gloves to the last minute, a longer warm-up, few long rests rather than many short."
    )
    values = {"temp": air_units.temp(coldest.temp_c, units)}
    if coldest.clumsy_s > LONGEST_COLD_S:
        return never % values
    return words % (values | {"n": max(1, round(coldest.clumsy_s / 60))})


def high(airs: TwoAirs, altitude_m: float, there: OneAir) -> str:
    words = gettext(
        "%(m)s m: the air is %(n)d %% thinner than at sea level and dries a damp finger %(faster)d %% faster than the "
        "same air would there; cream at night."
    )
    thinner = 100.0 * (1.0 - there.pressure_pa / STANDARD_PA)
    low = airs.sea_level_damp_s or there.damp_s
    faster = 100.0 * (1.0 - there.damp_s / low) if low < float("inf") else 0.0
    return words % {"m": number_format(round(altitude_m), 0), "n": round(thinner), "faster": round(faster)}


def flight(airs: TwoAirs, hours: float, units: Units) -> str:
    aloft = cabin()
    words = gettext(
        "About %(hours)d h by air: after three or four hours cabin air has 5 to 15 %% humidity, dew point %(low)s to "
        "%(high)s (at home %(home)s). Thin cream under a cover on creases, washed off on landing, a look that evening."
    )
    home = gettext("not known") if airs.home is None else air_units.temp(airs.home.dew_c, units)
    low, high = (air_units.temp(end, units) for end in aloft)
    return words % {"hours": round(hours), "low": low, "high": high, "home": home}
