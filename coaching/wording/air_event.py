"""The two airs of an event in sentences: what differs, for damp and for dry skin, and what to do by when."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext

from coaching.science.air.moist_air import STANDARD_PA
from coaching.usecases.shown_air import OneAir, TwoAirs, Units
from coaching.usecases.two_airs import COLD_C, HOT_C
from coaching.wording import air_units
from coaching.wording.dates import days_ahead, weekday

HEAT_INDEX_C = 32.2
"""90 °F, from which the weather service that made the index asks for extreme caution."""


def difference(airs: TwoAirs, units: Units) -> str:
    """The dew points against each other."""
    if airs.there is None:
        return gettext("Air there is not known yet, so nothing can be rehearsed for it.")
    if airs.home is None or airs.gap_k is None:
        return gettext("Dew point there %(there)s on average; that of home is not known.") % {
            "there": air_units.temp(airs.there.dew_c, units)
        }
    words = (
        gettext("Dew point there %(there)s, at home %(home)s: %(gap)s damper.") if airs.gap_k > 0
        else gettext("Dew point there %(there)s, at home %(home)s: %(gap)s drier.")
    )  # fmt: skip
    return words % {
        "there": air_units.temp(airs.there.dew_c, units), "home": air_units.temp(airs.home.dew_c, units),
        "gap": air_units.temp_gap(airs.gap_k, units),
    }  # fmt: skip


def changes(airs: TwoAirs, units: Units) -> list[tuple[str, str]]:
    """(kind of skin or cause, what changes and what to do), the most telling first."""
    said: list[tuple[str, str]] = []
    if airs.there and airs.home:
        said += [(gettext("damp skin"), _damp(airs)), (gettext("dry skin"), _dry(airs))]
    if airs.hottest_c is not None and airs.hottest_c >= HOT_C:
        said.append((gettext("hot holds"), _hot(airs.hottest_c, units)))
    if airs.heat_index_c is not None and airs.heat_index_c >= HEAT_INDEX_C:
        said.append((gettext("safety"), _heat(airs.heat_index_c, units)))
    if airs.coldest_c is not None and airs.coldest_c <= COLD_C:
        said.append((gettext("cold"), _cold(airs.coldest_c, units)))
    if airs.high_m is not None and airs.there is not None:
        said.append((gettext("altitude"), _high(airs.high_m, airs.there)))
    if airs.hours_apart:
        said.append((gettext("long flight"), _flight()))
    return said


def _hot(hottest_c: float, units: Units) -> str:
    return gettext(
        "Up to %(temp)s: shade, cool metal or a pack between tries, tape for the warm-up, hard goes in the cool hours."
    ) % {"temp": air_units.temp(hottest_c, units)}


def _heat(index_c: float, units: Units) -> str:
    return gettext(
        "Heat index up to %(temp)s: drink, shade, shorter goes, stop at dizziness. It says nothing of skin."
    ) % {"temp": air_units.temp(index_c, units)}


def _cold(coldest_c: float, units: Units) -> str:
    return gettext(
        "Down to %(temp)s: gloves to the last minute, a longer warm-up, few long rests rather than many short."
    ) % {"temp": air_units.temp(coldest_c, units)}


def _high(altitude_m: float, there: OneAir) -> str:
    words = gettext(
        "%(m)s m: the air is %(n)d %% thinner than at sea level and takes water off skin faster; cream at night."
    )
    thinner = 100.0 * (1.0 - there.pressure_pa / STANDARD_PA)
    return words % {"m": number_format(round(altitude_m), 0), "n": round(thinner)}


def _flight() -> str:
    return gettext(
        "After three or four hours cabin air has 5 to 15 % humidity: thin cream under a cover on creases, washed off "
        "on landing, a look that evening."
    )


def _damp(airs: TwoAirs) -> str:
    times = _times(airs, "damp_s")
    if airs.damper:
        return gettext("%(times)s Fan, alcohol base, cooled rests; cap the tries of the warm-up.") % {"times": times}
    if airs.drier:
        return gettext("%(times)s Easier than at home; agents may be too much there.") % {"times": times}
    return gettext("%(times)s Much as at home.") % {"times": times}


def _dry(airs: TwoAirs) -> str:
    times = _times(airs, "dry_s")
    if airs.damper:
        return gettext("%(times)s Often better than at home: no agent for it.") % {"times": times}
    if airs.drier:
        words = gettext("%(times)s Creases may split: no agent, cream at night; damp, wipe, chalk when tips slip.")
        return words % {"times": times}
    return gettext("%(times)s Much as at home.") % {"times": times}


def _times(airs: TwoAirs, name: str) -> str:
    there, home = (getattr(one, name) for one in (airs.there, airs.home))
    return gettext("In a slight draught dries in %(there)s after a middling try, at home %(home)s.") % {
        "there": air_units.about(there), "home": air_units.about(home),
    }  # fmt: skip


def rehearsal(airs: TwoAirs, today: date) -> str:
    """When rehearsing must start."""
    if airs.rehearse_by is None:
        if airs.drier:
            return gettext("Drier air needs no rehearsal, but cream in time.")
        return gettext("No rehearsal is asked for: the dew points are under 5 °C (9 °F) apart, or not known.")
    by = airs.rehearse_by
    values = {"day": weekday(by, today), "ahead": days_ahead(by, today), "n": airs.rehearsing}
    if airs.rehearsal_missed:
        return gettext("Rehearsals in warm, damp air should have started by %(day)s (%(ahead)s).") % values
    if not airs.rehearsing:
        words = gettext("Rehearsals in air as warm and damp start by %(day)s (%(ahead)s); nobody's plan holds one yet.")
        return words % values
    return (
        ngettext(
            "Rehearsals in air as warm and damp start by %(day)s (%(ahead)s); %(n)d athlete's plan asks for them.",
            "Rehearsals in air as warm and damp start by %(day)s (%(ahead)s); %(n)d athletes' plans ask for them.",
            airs.rehearsing,
        )
        % values
    )


def columns(airs: TwoAirs, units: Units) -> list[list[str]]:
    """(what, at home, there) for the table."""

    def both(name: str, tell: Callable[[float], str]) -> list[str]:
        return [gettext("not known") if one is None else tell(getattr(one, name)) for one in (airs.home, airs.there)]

    return [
        [gettext("air"), *both("temp_c", lambda v: air_units.temp(v, units))],
        [gettext("humidity"), *both("humidity_frac", lambda v: f"{100 * v:.0f} %")],
        [gettext("dew point"), *both("dew_c", lambda v: air_units.temp(v, units))],
        [gettext("pressure of the altitude"), *both("pressure_pa", lambda v: f"{v / 100:.0f} hPa")],
        [gettext("damp finger dries in"), *both("damp_s", air_units.about)],
        [gettext("dry finger dries in"), *both("dry_s", air_units.about)],
    ]


def name(one: OneAir | None, fallback: str) -> str:
    """What a column is called."""
    return one.name if one else fallback
