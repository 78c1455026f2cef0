"""Events in words: days, place and zone, when entries close, and the air there against that of home."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext, ngettext

from athletes.records.queries_events import SERIES, EventAir, HourAir
from coaching.rules.conclusions import Fallback
from coaching.usecases.shown import EventShown
from coaching.usecases.shown_air import Units
from coaching.usecases.shown_event import EntryRow, EventPage
from coaching.wording.air_units import degrees, temp, temp_gap
from coaching.wording.air_units import whole as _whole
from coaching.wording.care import SURFACES
from coaching.wording.dates import clock_time, days_ahead, event_day, moment, weekday
from coaching.wording.levels import EVENT_KINDS, level_by
from coaching.wording.sentences import capital, series

ALIKE_C = 1.0
"""Judgement: nobody's fingers tell dew points apart that differ by less than this."""
DAYS_IN_FULL = 3
CELSIUS = Units()


@dataclass(frozen=True)
class AirDay:
    """One day of the event by the hour; `lines` are name and figures, one for each hour."""

    day: str
    hours: tuple[str, ...]
    lines: tuple[tuple[str, tuple[str, ...]], ...]


def event_days(event: EventShown) -> str:
    """ "Sat 20 Mar 2027" or "Fri 26 Mar to Fri 2 Apr 2027"."""
    last = f"{event_day(event.last_day)} {event.last_day.year}"
    if event.first_day == event.last_day:
        return last
    return gettext("%(first)s to %(last)s") % {"first": event_day(event.first_day), "last": last}


def what_and_where(event: EventShown, place: str | None, surface: str) -> str:
    """ "Competition on fresh plastic, Orlevo Arena"; what nobody said is said to be not known."""
    kind = str(EVENT_KINDS[event.kind])
    on = (
        gettext("%(kind)s on %(surface)s") % {"kind": kind, "surface": SURFACES[surface]} if surface else kind
    )
    return capital(
        gettext("%(what)s, %(place)s") % {"what": on, "place": place or gettext("place not known")}
    )


def zone(event: EventShown) -> str:
    """ "All times local (Europe/Vienna)."."""
    return gettext("All times local (%(zone)s).") % {"zone": event.timezone}


def closes(event: EventShown, as_of: date) -> str:
    """When entries close, with the event's zone, which the deadline comes in; a trip need not close."""
    at = event.entry_deadline
    if at is None:
        return "" if event.kind == "trip" else gettext("When entries close is not known.")
    values = {"when": moment(at, as_of), "zone": event.timezone, "ahead": days_ahead(at.date(), as_of)}
    if at.date() < as_of:
        return gettext("Entry changes closed %(when)s (%(zone)s).") % values
    return gettext("Entry changes close %(when)s (%(zone)s), %(ahead)s.") % values


def when(event: EventShown, today: date) -> str:
    """ "in 9 days", "until Fri 2 Apr", "4 days ago"."""
    if event.first_day <= today <= event.last_day:
        return gettext("until %(day)s") % {"day": event_day(event.last_day)}
    return days_ahead(event.first_day if today < event.first_day else event.last_day, today)


def known_at(page: EventPage) -> str:
    """ "As known at Thu 11 Mar 2027, 07:04 (Europe/Vienna)."."""
    at = page.known_at.astimezone(ZoneInfo(page.event.timezone))
    return gettext("As known at %(day)s %(year)s, %(time)s (%(zone)s).") % {
        "day": event_day(at.date()), "year": at.year, "time": clock_time(at), "zone": page.event.timezone,
    }  # fmt: skip


def not_shared(n: int) -> str:
    """How many who are entered share nothing, or nothing."""
    if not n:
        return ""
    return ngettext(
        "%(n)d more is entered and shares no level with you.",
        "%(n)d more are entered and share no level with you.",
        n,
    ) % {"n": n}


def air_days(air: EventAir, as_of: date, units: Units = CELSIUS) -> list[AirDay]:
    """Temperature, humidity and dew point by the hour, day by day."""
    days = list(dict.fromkeys(hour.at.date() for hour in air.hours))
    return [_air_day(day, [h for h in air.hours if h.at.date() == day], as_of, units) for day in days]


def _air_day(day: date, hours: list[HourAir], as_of: date, units: Units) -> AirDay:
    sign = {"unit": units.temperature}
    lines = (
        (gettext("°%(unit)s") % sign, tuple(_whole(degrees(hour.temp_c, units)) for hour in hours)),
        (gettext("humidity %"), tuple(_whole(hour.humidity_pct) for hour in hours)),
        (gettext("dew point °%(unit)s") % sign, tuple(_whole(degrees(hour.dew_point_c, units)) for hour in hours)),
    )
    return AirDay(weekday(day, as_of), tuple(hour.at.strftime("%H") for hour in hours), lines)


def against_home(air: EventAir, units: Units = CELSIUS) -> str:
    """The dew point there against that of the place where most of them trained, and what it does to fingers."""
    if air.home is None or air.home_dew_point_c is None:
        return gettext("Dew point at home: not known.")
    home = gettext("Home (%(place)s, mean of 28 days): dew point %(n)s.") % {
        "place": air.home, "n": temp(air.home_dew_point_c, units),
    }  # fmt: skip
    return f"{home} {_compared(air, units)}".strip()


def _compared(air: EventAir, units: Units) -> str:
    if not air.hours or air.home_dew_point_c is None:
        return ""
    gap = max((hour.dew_point_c - air.home_dew_point_c for hour in air.hours), key=abs)
    if abs(gap) < ALIKE_C:
        return gettext("There it is much the same.")
    words = gettext("There up to %(n)s above: damper tips.") if gap > 0 else gettext(
        "There up to %(n)s below: drier tips."
    )  # fmt: skip
    return words % {"n": temp_gap(gap, units)}


def air_source(air: EventAir, as_of: date) -> str:
    """Whether the hours are forecast or observed, and what is missing."""
    if not air.hours:
        return gettext("Air at the place: not known yet.")
    if air.typical_of == SERIES:
        return gettext("Typical of its own last four weeks: no forecast.")
    if air.typical_of:
        return gettext("Typical of the season, from %(source)s: no forecast.") % {"source": air.typical_of}
    if air.forecast_of is None:
        return gettext("Observed.")
    return gettext("Forecast of %(when)s.") % {"when": _issued(air.forecast_of, as_of)}


def _issued(at: datetime, as_of: date) -> str:
    return moment(at, as_of)


def stand_ins(named: Sequence[EntryRow], rows: Sequence[EntryRow], as_of: date) -> list[str]:
    """ "Stand-in: Ana, on course." and for whom one is asked, by when; empty where neither is so."""
    said = []
    if named:
        who = series(_with_level(row, as_of) for row in named)
        words = ngettext("Stand-in: %(who)s.", "Stand-ins: %(who)s.", len(named))
        said.append(words % {"who": who})
    asked: dict[str, list[str]] = {}
    for row in rows:
        for found in _asks(row):
            asked.setdefault(str(found.cost.get("by") or ""), []).append(row.athlete.name)
    for by, names in sorted(asked.items()):
        when = _named_by(by, as_of)
        said.append(
            gettext("A stand-in would be named by %(when)s for %(who)s.") % {"when": when, "who": series(names)}
        )
    return said


def _named_by(by: str, as_of: date) -> str:
    """With the hour where entries close at one; a day alone has none."""
    if not by:
        return gettext("a day not known")
    return moment(by, as_of) if "T" in by else weekday(date.fromisoformat(by), as_of)


def _with_level(row: EntryRow, as_of: date) -> str:
    level = level_by(row.entry, as_of) if row.entry else gettext("nothing concluded yet")
    return gettext("%(name)s, %(level)s") % {"name": row.athlete.name, "level": level}


def _asks(row: EntryRow) -> list[Fallback]:
    """The fallback of those who are out of reach or need something; the others are not talked about."""
    if row.status == "stand-in" or row.level not in ("out-of-reach", "act") or row.entry is None:
        return []
    return [one for one in row.entry.fallbacks if one.code == "stand-in"]
