"""A day at a place in sentences: where to be when, why, what it costs, and how sure that is."""

from __future__ import annotations

from datetime import date

from django.utils.formats import number_format
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.science.air import windows as found
from coaching.usecases.shown_air import DayAtPlace, EventCost, Range, WindowShown
from coaching.wording import air_units, numbers
from coaching.wording.care import SURFACES
from coaching.wording.dates import clock_time, event_day
from coaching.wording.sentences import capital

SEA = {found.OFF_LAND: _("off the land"), found.ALONG: _("along the coast"), found.OFF_SEA: _("off the sea")}
ROCK = {found.WET_ROCK: _("rock gathers water"), found.DOUBTFUL_ROCK: _("rock may gather water")}
HOLDS = {found.WET_ROCK: _("holds gather water"), found.DOUBTFUL_ROCK: _("holds may gather water")}
SOURCES = {
    "reading": _("measured"), "between": _("between two readings"), "forecast": _("forecast"),
    "typical": _("typical"), "none": _("not known"),
}  # fmt: skip
POINTS = (_("N"), _("NE"), _("E"), _("SE"), _("S"), _("SW"), _("W"), _("NW"))
CHILL_S = 180.0
"""Fingers that may turn clumsy sooner than this are a reason; `chill_frac` of the windows counts from here too."""


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
        return gettext("a middling finger")
    return gettext("your finger") if day.whose.looks else gettext("a finger of %(name)s") % {"name": day.whose.name}


def headline(day: DayAtPlace) -> str:
    """The hours first; what stops the athlete before them."""
    who = {"name": gettext("you") if day.whose.looks else day.whose.name}
    if day.whose.verdict == "medical":
        return gettext("No climbing for %(name)s before a doctor has looked. The hours are the air's alone.") % who
    if day.whose.verdict == "off":
        return gettext("No load on the hands today for %(name)s. The hours are the air's alone.") % who
    if not any(hour.temp_c is not None for hour in day.hours):
        return gettext("The air of this day is not known.")
    if not day.windows:
        return gettext("No two hours in a row speak for climbing here.")
    best = day.windows[0]
    why = "; ".join(reasons(best, day, cold=False))  # a caution of the day says that beside it
    return gettext("Best from %(span)s: %(why)s.") % {"span": span(best), "why": why}


def reasons(window: WindowShown, day: DayAtPlace, cold: bool = True) -> list[str]:
    """Why the hours are what they are: sun, wind, rock, time between tries."""
    said = []
    if day.place.face_deg is not None and day.place.kind != "hall":
        said.append(gettext("sun on the face") if window.sunny else gettext("face in shade"))
    if window.sea in SEA:
        said.append(gettext("wind %(where)s") % {"where": SEA[window.sea]})
    if water(window.rock, day):
        said.append(water(window.rock, day))
    if cold and window.clumsy_s < CHILL_S:
        minutes = {"n": max(1, round(window.clumsy_s / 60))}
        said.append(gettext("cold: fingers may turn clumsy within %(n)d min") % minutes)
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
        words = (
            gettext("squad: %(good)d of %(all)d") if said
            else gettext("squad: %(good)d of %(all)d sessions in like air were not limited by skin")
        )  # fmt: skip
        said.append(words % {"good": window.squad[0], "all": window.squad[1]})
    return capital("; ".join(said)) + "." if said else gettext("Too few sessions in like air to compare.")


def cost(window: WindowShown, day: DayAtPlace) -> str:
    """Skin and days of a session through the window, at middling effort, and what it does to the next event."""
    found = window.cost
    if found is None:
        return gettext("Cost in skin not known: nobody said what rock it is.")
    values = {
        "hours": number_format(window.hours, 0), "surface": SURFACES[day.surface],
        "reserve": _ends(found.reserve_pt, 1), "days": _ends(found.days_back, 0), "name": day.whose.name,
        "morning": "" if found.morning_pt is None else number_format(round(found.morning_pt, 1), 1),
    }  # fmt: skip
    if not found.own or found.morning_pt is None:
        return gettext(
            "%(hours)s h at effort 5 on %(surface)s wear %(reserve)s of 10 reserve of anybody; half is back in "
            "%(days)s days."
        ) % values  # fmt: skip
    words = (
        gettext("%(hours)s h at effort 5 on %(surface)s wear %(reserve)s of your reserve, about %(morning)s of 10 that "
                "morning; half is back in %(days)s days.") if day.whose.looks
        else gettext("%(hours)s h at effort 5 on %(surface)s wear %(reserve)s of the reserve of %(name)s, about "
                     "%(morning)s of 10 that morning; half is back in %(days)s days.")
    )  # fmt: skip
    return f"{words % values} {_event_cost(found.event)}".strip()


def _event_cost(found: EventCost | None) -> str:
    """The chance at the next event with and without, by steps of five: no finer is known."""
    if found is None:
        return ""
    after, rested = (numbers.in_100(p, 5) for p in (found.after, found.rested))
    if after == rested:
        return gettext("Skin at %(event)s: no difference that can be told.") % {"event": found.name}
    return gettext("Skin holds at %(event)s: %(after)s in 100 after it, %(rested)s after a day of rest.") % {
        "event": found.name, "after": after, "rested": rested,
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
        few = gettext("Under ten sessions with air (%(n)d so far): physics first%(squad)s.")
        return few % {"n": who.sessions, "squad": _squad(day)}
    own = gettext("Own history first (%(n)d sessions with air, %(hourly)d by the hour), physics second%(squad)s.")
    return own % {"n": who.sessions, "hourly": who.hourly, "squad": _squad(day)}


def _squad(day: DayAtPlace) -> str:
    """Who looks at their own day is told of nobody else."""
    n = day.whose.squad_sessions
    return gettext(", the squad's %(n)d sessions last") % {"n": n} if n else ""


def own_days(good: int, count: int) -> str:
    """ "8/9": sessions in like air that skin did not limit, of all."""
    return f"{good}/{count}" if count else ""


def title(place: str, when: date) -> str:
    """ "Korrun Slabs, Sat 20 Mar 2027"."""
    return f"{place}, {event_day(when)} {when.year}"
