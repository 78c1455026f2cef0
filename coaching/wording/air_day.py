"""A day at a place in sentences: where to be when, why, what it costs, and how sure that is."""

from __future__ import annotations

from datetime import date

from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.science.air import windows as found
from coaching.usecases.shown_air import DayAtPlace, HourShown, Range, WindowShown
from coaching.wording import air_units
from coaching.wording.care import SURFACES
from coaching.wording.dates import clock_time, event_day, moment
from coaching.wording.sentences import capital

SEA = {found.OFF_LAND: _("off the land"), found.ALONG: _("along the coast"), found.OFF_SEA: _("off the sea")}
ROCK = {found.WET_ROCK: _("rock gathers water"), found.DOUBTFUL_ROCK: _("rock may gather water")}
HOLDS = {found.WET_ROCK: _("holds gather water"), found.DOUBTFUL_ROCK: _("holds may gather water")}
SOURCES = {
    "reading": _("measured"), "between": _("between two readings"), "forecast": _("forecast"),
    "typical": _("typical"), "none": _("not known"),
}  # fmt: skip
POINTS = (_("N"), _("NE"), _("E"), _("SE"), _("S"), _("SW"), _("W"), _("NW"))
STALE_H, BRITTLE_FRAC, HEAT_INDEX_C, CLUMSY_S, COLD_C = 72, 0.5, 32.2, 1200.0, 10.0


def bearing(deg: float | None) -> str:
    """ "NW", where the wind comes from."""
    return "" if deg is None else str(POINTS[round(deg / 45.0) % 8])


def span(window: WindowShown) -> str:
    """ "14:00 to 18:00"."""
    return gettext("%(first)s to %(last)s") % {
        "first": clock_time(window.first), "last": clock_time(window.last),
    }  # fmt: skip


def whose(day: DayAtPlace) -> str:
    """Whose fingers, as the middle of a sentence."""
    if not day.whose.code:
        return gettext("a finger of middling dampness")
    return gettext("a finger of %(name)s") % {"name": day.whose.name}


def headline(day: DayAtPlace) -> str:
    """The hours first."""
    if not any(hour.temp_c is not None for hour in day.hours):
        return gettext("The air of this day is not known.")
    if not day.windows:
        return gettext("No two hours in a row speak for climbing here.")
    best = day.windows[0]
    return gettext("Climb from %(span)s: %(why)s.") % {"span": span(best), "why": "; ".join(reasons(best, day))}


def reasons(window: WindowShown, day: DayAtPlace) -> list[str]:
    """Why the hours are what they are: sun, wind, rock, time between tries."""
    said = []
    if day.place.face_deg is not None and day.place.kind != "hall":
        said.append(gettext("sun on the face") if window.sunny else gettext("face in shade"))
    if window.sea in SEA:
        said.append(gettext("wind %(where)s") % {"where": SEA[window.sea]})
    if water(window.rock, day):
        said.append(water(window.rock, day))
    dries = {"who": whose(day), "pause": air_units.about(window.middling_s)}
    said.append(gettext("%(who)s dries in %(pause)s") % dries)
    return said


def water(rock: int, day: DayAtPlace) -> str:
    """Whether rock, or in a hall its holds, gather water; empty where they stay dry or nothing is known."""
    return str((HOLDS if day.place.kind == "hall" else ROCK).get(rock, ""))


def history(window: WindowShown, day: DayAtPlace) -> str:
    """Own sessions in like air, then the squad's."""
    said = []
    if window.own[1]:
        said.append(
            gettext("%(good)d of %(all)d own sessions in like air were not limited by skin")
            % {"good": window.own[0], "all": window.own[1]}
        )
    if window.squad[1]:
        said.append(gettext("squad: %(good)d of %(all)d") % {"good": window.squad[0], "all": window.squad[1]})
    return capital("; ".join(said)) + "." if said else gettext("Too few sessions in like air to compare.")


def cost(window: WindowShown, day: DayAtPlace) -> str:
    """Skin and days of a session through the window, at middling effort."""
    if window.reserve_pt is None or window.days_back is None:
        return gettext("Cost in skin not known: nobody said what rock it is.")
    return gettext(
        "%(hours)s h at effort 5 on %(surface)s wear %(reserve)s of 10 reserve; half is back in %(days)s days."
    ) % {
        "hours": number_format(window.hours, 0), "surface": SURFACES[day.surface],
        "reserve": _ends(window.reserve_pt, 1), "days": _ends(window.days_back, 0),
    }  # fmt: skip


def _ends(value: Range, decimals: int) -> str:
    low, high = (number_format(round(end, decimals), decimals) for end in value)
    return low if low == high else gettext("%(low)s to %(high)s") % {"low": low, "high": high}


def order(day: DayAtPlace) -> str:
    """What the windows are ranked by."""
    who = day.whose
    if not who.code:
        return gettext(
            "Ranked by physics, then by the squad's %(n)d sessions with air. Choose an athlete for their own."
        ) % {"n": who.squad_sessions}
    if who.sessions < found.LEAST_SESSIONS:
        return ngettext(
            "Under ten sessions with air (%(n)d so far): physics first, the squad's %(squad)d sessions after.",
            "Under ten sessions with air (%(n)d so far): physics first, the squad's %(squad)d sessions after.",
            who.sessions,
        ) % {"n": who.sessions, "squad": who.squad_sessions}
    return gettext("Own history first (%(n)d sessions with air), physics second, squad third.") % {"n": who.sessions}


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
        said.append(gettext("Sun is that of a clear sky; trees and roofs are part of the skyline only if told."))
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
            gettext(
                "Cold: a bare finger may turn clumsy after %(n)d min at the soonest (a lower bound). Keep hands warm."
            )
            % {"n": max(1, round(soonest / 60))}
        )
    brittle = [h for h in day.hours if h.brittle_frac is not None and h.brittle_frac >= BRITTLE_FRAC and _awake(h)]
    if brittle and day.whose.skin_kind in ("dry", ""):
        said.append(
            gettext("Dry is not always better: the air leaves horny skin brittle, dry skin splits in creases. "
                    "Cream the night before; damp, wipe, chalk when tips slip.")
        )  # fmt: skip
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


def title(place: str, when: date) -> str:
    """ "Korrun Slabs, Sat 20 Mar 2027"."""
    return f"{place}, {event_day(when)} {when.year}"


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
            gettext("To cool after a hard try: at least %(n)d s (a lower bound: blood keeps it warm for longer).")
            % {"n": air_units.seconds(hour.cool_least_s)}
        )
    elif hour.cool_least_s is not None:
        said.append(gettext("The air does not cool a hot finger within 10 min: cold metal, a pack, shade."))
    said.append(
        gettext("The short end is a lower bound: short try, dry end of the air, all moving wind. "
                "The long end is an upper bound: long try, damp end, least wind.")
    )  # fmt: skip
    return said
