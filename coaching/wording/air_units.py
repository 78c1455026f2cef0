"""Temperatures and winds in the units that a person chose; files and the interface keep C and m/s."""

from __future__ import annotations

from django.utils.formats import number_format
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.science.air.wind import M_S_PER
from coaching.usecases.shown_air import Range, Units

TEMPERATURES = {"C": _("Celsius, °C"), "F": _("Fahrenheit, °F")}
WINDS = {
    "m/s": _("metres a second, m/s"), "km/h": _("kilometres an hour, km/h"), "mph": _("miles an hour, mph"),
    "kn": _("knots, kn"),
}  # fmt: skip
LONGEST_S = 600
"""A pause longer than this is said as over ten minutes: nobody waits for it."""


def degrees(temp_c: float, units: Units) -> float:
    """The temperature in the chosen unit."""
    return temp_c * 1.8 + 32.0 if units.temperature == "F" else temp_c


def celsius(value: float, units: Units) -> float:
    """A temperature in the chosen unit as the records keep it."""
    return (value - 32.0) / 1.8 if units.temperature == "F" else value


def gap(difference_k: float, units: Units) -> float:
    """A difference of temperatures in the chosen unit: no offset."""
    return difference_k * 1.8 if units.temperature == "F" else difference_k


def wind(wind_m_s: float, units: Units) -> float:
    """The wind in the chosen unit."""
    return wind_m_s / M_S_PER[units.wind]


def metres_a_second(value: float, units: Units) -> float:
    """A wind in the chosen unit as the records keep it."""
    return value * M_S_PER[units.wind]


def whole(value: float) -> str:
    """ "−3" or "12"; minus nought is nought."""
    text = number_format(round(abs(value)), 0)
    return f"−{text}" if round(value) < 0 else text


def temp(temp_c: float | None, units: Units) -> str:
    """ "12 °C", "54 °F", or "not known"."""
    if temp_c is None:
        return gettext("not known")
    return f"{whole(degrees(temp_c, units))} °{units.temperature}"


def temp_gap(difference_k: float, units: Units) -> str:
    """ "15 °C" for a difference, its size alone."""
    return f"{whole(abs(gap(difference_k, units)))} °{units.temperature}"


def wind_said(wind_m_s: float | None, units: Units) -> str:
    """ "4 m/s", or "not known"."""
    if wind_m_s is None:
        return gettext("not known")
    return f"{whole(wind(wind_m_s, units))} {units.wind}"


LEAST_S = 5
"""Under this no time is told apart: a hand takes longer to the bag."""


def seconds(value: float) -> int:
    """Seconds as far as they are known: to 1 under 20, to 5 under a minute and a half, to 10 under five, then to 30."""
    step = 1 if value < 20 else 5 if value < 90 else 10 if value < 300 else 30
    return max(step, round(value / step) * step)


def pause(found: Range | None) -> str:
    """ "25 to 110 s", "under 5 s", "90 s to over 10 min", "does not dry", or "not known"."""
    if found is None:
        return gettext("not known")
    low, high = found
    if low > LONGEST_S:
        return gettext("does not dry within 10 min")
    if high < LEAST_S:
        return gettext("under %(n)d s") % {"n": LEAST_S}
    low = 0.0 if low < LEAST_S else low
    if high > LONGEST_S:
        return gettext("%(low)d s to over 10 min") % {"low": seconds(low) if low else 0}
    if low and seconds(low) == seconds(high):
        return gettext("about %(n)d s") % {"n": seconds(low)}
    return gettext("%(low)d to %(high)d s") % {"low": seconds(low) if low else 0, "high": seconds(high)}


def about(value_s: float | None) -> str:
    """ "about 45 s", "over 10 min", or "not known"."""
    if value_s is None:
        return gettext("not known")
    if value_s > LONGEST_S:
        return gettext("over 10 min")
    if value_s < LEAST_S:
        return gettext("under %(n)d s") % {"n": LEAST_S}
    return gettext("about %(n)d s") % {"n": seconds(value_s)}


def at_least(value_s: float) -> str:
    """ "30 s" as a lower bound; under five seconds it is none worth telling: "a moment"."""
    return gettext("a moment") if value_s < LEAST_S else gettext("%(n)d s") % {"n": seconds(value_s)}


def short(value_s: float) -> str:
    """ "45" or "<5", for a lane of a strip."""
    return f"<{LEAST_S}" if value_s < LEAST_S else str(seconds(value_s))
