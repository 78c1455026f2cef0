"""The two airs of an event in sentences: what differs, for damp and for dry skin, and what to do by when."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from django.utils.translation import gettext, ngettext

from coaching.usecases.shown_air import Units
from coaching.usecases.shown_two_airs import OneAir, TwoAirs
from coaching.usecases.two_airs import COLD_C, HOT_C
from coaching.wording import air_causes as causes
from coaching.wording import air_units
from coaching.wording.dates import days_ahead, weekday

HEAT_INDEX_C = 32.2
"""90 °F, from which the weather service that made the index asks for extreme caution."""
STALE_D = 3.0


def difference(airs: TwoAirs, units: Units) -> str:
    """The dew points against each other."""
    if airs.there is None:
        return gettext("Air there is not known yet, so nothing can be rehearsed for it.")
    if airs.home is None or airs.gap_k is None:
        return gettext("Dew point there %(there)s on average; that of home is not known.") % {
            "there": air_units.temp(airs.there.dew_c, units)
        }
    words = (
        gettext("Dew point there %(there)s, at home %(home)s: %(gap)s damper%(sure)s.") if airs.gap_k > 0
        else gettext("Dew point there %(there)s, at home %(home)s: %(gap)s drier%(sure)s.")
    )  # fmt: skip
    sure = "" if airs.gap_spread_k is None else f" ± {air_units.temp_gap(airs.gap_spread_k, units)}"
    said = words % {
        "there": air_units.temp(airs.there.dew_c, units), "home": air_units.temp(airs.home.dew_c, units),
        "gap": air_units.temp_gap(airs.gap_k, units), "sure": sure,
    }  # fmt: skip
    return f"{said} {_stale(airs)}".strip()


def _stale(airs: TwoAirs) -> str:
    """A forecast that will be old when the event begins."""
    if airs.forecast_age_d is None or airs.forecast_age_d <= STALE_D:
        return ""
    return gettext("The forecast will be %(n)d days old then: ask again nearer to it.") % {
        "n": round(airs.forecast_age_d)
    }


def changes(airs: TwoAirs, units: Units) -> list[tuple[str, str]]:
    """(kind of skin or cause, what changes and what to do), the most telling first."""
    said: list[tuple[str, str]] = []
    if airs.there and airs.home:
        said += [(gettext("damp skin"), _damp(airs)), (gettext("dry skin"), _dry(airs))]
    said += [(gettext("who trained elsewhere"), causes.elsewhere(airs, units))] if airs.others else []
    if airs.hottest and (airs.hottest.temp_c >= HOT_C or (airs.sun_h and airs.hottest.temp_c >= causes.WARM_C)):
        said.append((gettext("hot holds"), causes.hot(airs, airs.hottest, units)))
    if airs.heat_index_c is not None and airs.heat_index_c >= HEAT_INDEX_C:
        said.append((gettext("safety"), causes.heat(airs.heat_index_c, units)))
    if airs.coldest and airs.coldest.temp_c <= COLD_C:
        said.append((gettext("cold hall") if airs.hall else gettext("cold"), causes.cold(airs.coldest, units)))
    if airs.high_m is not None and airs.there is not None:
        said.append((gettext("altitude"), causes.high(airs, airs.high_m, airs.there)))
    if airs.flight_h is not None and airs.flight_h >= causes.LONG_FLIGHT_H:
        said.append((gettext("long flight"), causes.flight(airs, airs.flight_h, units)))
    return said


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
