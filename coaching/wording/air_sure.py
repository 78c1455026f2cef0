"""How sure a day at a place is: where its air comes from, what no hour can know, what bounds times are, cautions."""

from __future__ import annotations

from django.utils.formats import number_format
from django.utils.translation import gettext

from coaching.science.air.windows import COLD_C
from coaching.usecases.shown_air import DayAtPlace, HourShown
from coaching.wording import air_units
from coaching.wording.air_day import bearing
from coaching.wording.dates import event_day, moment
from coaching.wording.sentences import capital

STALE_H, HEAT_INDEX_C, CLUMSY_S = 72, 32.2, 1200.0
BRITTLE_FRAC = 0.99
"""Judgement: air of a dew point under about 5 °C. Nearly all air is on the brittle side of the knee once it is warmed
to skin, so that the knee itself tells no hour from another.
"""


def sure(day: DayAtPlace) -> list[str]:
    """How sure the hours are, and what is missing."""
    kinds = {hour.source for hour in day.hours}
    said = []
    if "forecast" in kinds and day.forecast_of:
        said.append(gettext("Forecast of %(when)s.") % {"when": moment(day.forecast_of, day.today)})
        middle = day.hours[len(day.hours) // 2].at
        if (middle - day.forecast_of).total_seconds() > STALE_H * 3600:
            said.append(gettext("It is more than three days older than these hours: every range is wider for it."))
    if kinds & {"reading", "between"}:
        every = gettext("Measured every few hours, drawn straight in between.")
        said.append(every if "between" in kinds else gettext("Measured."))
    if "typical" in kinds:
        said.append(
            gettext("Typical for %(month)s, from %(source)s: no forecast. Ranges hold 8 of 10 such hours.")
            % {"month": event_day(day.day).split(" ")[-1], "source": day.typical_of}
        )
    if "none" in kinds:
        said.append(gettext("Hours without air are left empty."))
    if not day.indoors and any(h.wind_m_s is None and h.temp_c is not None for h in day.hours):
        said.append(gettext("Wind not known: drying times are wider for it."))
    return said


def unknowns(day: DayAtPlace) -> list[str]:
    """What no hour here can know."""
    said = []
    if day.place.kind != "hall":
        said.append(
            gettext(
                "The temperature of the rock is not measured: shaded rock is taken to follow the air within an hour "
                "(thin) to a day (thick). A clear night sky and seeping water are not counted."
            )
        )
        said.append(
            gettext("Sun is that of a clear sky on an upright face; trees and roofs count only as a skyline told.")
        )
        if day.place.face_deg is None:
            said.append(gettext("Which way the face looks is not known, so no sun on it is drawn."))
        if day.place.coast_deg is None:
            said.append(gettext("No coast is told: wind off land or sea is not known here."))
    said.append(gettext("Nothing here is a friction: no measurement supports one from the weather."))
    return said


def cautions(day: DayAtPlace) -> list[str]:
    """Heat, cold and brittle air, beside the hours."""
    said = []
    hot = [h for h in day.hours if h.heat_index_c is not None and h.heat_index_c >= HEAT_INDEX_C]
    if hot:
        said.append(
            gettext("Safety: the heat index reaches %(temp)s. Drink, shade, shorter goes; stop at dizziness.")
            % {"temp": air_units.temp(max(h.heat_index_c or 0.0 for h in hot), day.units)}
        )
    cold = [h for h in day.hours if _is_cold(h) and _awake(h)]
    if cold:
        soonest = min(h.clumsy_least_s or 0.0 for h in cold)
        said.append(
            gettext("Cold: a bare finger may turn clumsy after %(n)d min at the soonest. Keep hands warm.")
            % {"n": max(1, round(soonest / 60))}
        )
    brittle = [h for h in day.hours if h.brittle_frac is not None and h.brittle_frac >= BRITTLE_FRAC and _awake(h)]
    if brittle and day.whose.skin_kind in ("dry", ""):
        said.append(
            gettext("Dry air leaves skin brittle: creases split. Cream the night before; damp, wipe, chalk.")
        )
    return said


def _is_cold(hour: HourShown) -> bool:
    near = hour.clumsy_least_s is not None and hour.clumsy_least_s < CLUMSY_S
    return near and hour.temp_c is not None and hour.temp_c <= COLD_C


def _awake(hour: HourShown) -> bool:
    return 7 <= hour.at.hour < 22


def about(day: DayAtPlace) -> str:
    """ "Crag, granite, 900 m, face looks SE"; what is not known is left out here and said below."""
    place = day.place
    said = [gettext("crag") if place.kind == "crag" else gettext("hall") if place.kind == "hall" else gettext("place")]
    if place.rock:
        said.append(gettext(place.rock))
    if place.altitude_m is not None:
        said.append(gettext("%(n)s m") % {"n": number_format(round(place.altitude_m), 0)})
    if place.face_deg is not None:
        said.append(gettext("face looks %(point)s") % {"point": bearing(place.face_deg)})
    if place.coast_deg is not None:
        said.append(gettext("open sea to the %(point)s") % {"point": bearing(place.coast_deg)})
    return capital(", ".join(said)) + ". " + gettext("Local time (%(zone)s).") % {"zone": day.zone}


def between(hour: HourShown | None, day: DayAtPlace) -> list[str]:
    """What fingers need between tries at an hour, with and without a fan, each named for the bound it is."""
    if hour is None or hour.dry_s is None or hour.fanned_s is None:
        return [gettext("Not known: the air of the day is not.")]
    said = [
        gettext("As it is: %(about)s after a middling try; %(pause)s over all that is open.")
        % {"about": air_units.about(hour.middling_s), "pause": air_units.pause(hour.dry_s)},
        gettext("With a hand fan: %(pause)s.") % {"pause": air_units.pause(hour.fanned_s)},
    ]
    if hour.cool_least_s is not None and hour.cool_least_s < air_units.LONGEST_S:
        said.append(
            gettext("To cool after a hard try: at least %(pause)s (a lower bound: blood keeps it warm for longer).")
            % {"pause": air_units.at_least(hour.cool_least_s)}
        )
    elif hour.cool_least_s is not None:
        said.append(gettext("The air does not cool a hot finger within 10 min: cold metal, a pack, shade."))
    said.append(
        gettext("The short end is a lower bound: short try, dry end of the air, all moving wind. "
                "The long end is an upper bound: long try, damp end, least wind.")
    )  # fmt: skip
    return said
