"""Days as a coach says them: by weekday, with the month only where it is needed."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, datetime

from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext, pgettext


def day(when: date, as_of: date) -> str:
    """ "today", "Thu 18", or "Mon 5 Apr" where the month is not that of `as_of`."""
    if when == as_of:
        return gettext("today")
    return weekday(when, as_of)


def weekday(when: date, as_of: date) -> str:
    """ "Thu 18", or "Mon 5 Apr" where the month is another; the year only where it is another too."""
    if when.year != as_of.year:
        return date_format(when, pgettext("date format", "D j M Y"))
    if when.month != as_of.month:
        return date_format(when, pgettext("date format", "D j M"))
    return date_format(when, pgettext("date format", "D j"))


def long_day(when: date) -> str:
    """ "Thursday 18 March 2027"."""
    return date_format(when, pgettext("date format", "l j F Y"))


def heading_day(when: date) -> str:
    """ "Thursday 18 March"."""
    return date_format(when, pgettext("date format", "l j F"))


def event_day(when: date) -> str:
    """ "Sat 20 Mar", always with its month."""
    return date_format(when, pgettext("date format", "D j M"))


def span(first: date, last: date, as_of: date) -> str:
    """ "Wed 17" for one day, "Wed 17 to Sat 20" for several."""
    if first == last:
        return weekday(first, as_of)
    return gettext("%(first)s to %(last)s") % {"first": weekday(first, as_of), "last": weekday(last, as_of)}


def days_list(days: Collection[date], as_of: date) -> str:
    """ "today", "Wed 17 to Sat 20" for a run without a gap, "3 days, Wed 17 to Sat 20" for one with gaps."""
    first, last = day(min(days), as_of), day(max(days), as_of)
    if first == last:
        return first
    whole = (max(days) - min(days)).days + 1 == len(set(days))
    words = gettext("%(first)s to %(last)s") if whole else gettext("%(n)d days, %(first)s to %(last)s")
    return words % {"first": first, "last": last, "n": len(set(days))}


def moment(at: datetime | str, as_of: date, zone: str = "") -> str:
    """ "Thu 18, 18:00" in the zone the instant carries; text is read as ISO 8601.

    With the name of that zone: "Thu 18, 18:00 Europe/Vienna", for readers who may be elsewhere.
    """
    instant = datetime.fromisoformat(at) if isinstance(at, str) else at
    said = gettext("%(day)s, %(time)s") % {
        "day": weekday(instant.date(), as_of),
        "time": clock_time(instant),
    }
    return f"{said} {zone}" if zone else said


def clock_time(instant: datetime) -> str:
    """ "18:00" in the zone the instant carries."""
    return instant.strftime("%H:%M")


def days_ahead(when: date, as_of: date) -> str:
    """ "today", "tomorrow", "in 9 days", "4 days ago"."""
    days = (when - as_of).days
    if days == 0:
        return gettext("today")
    if days == 1:
        return gettext("tomorrow")
    if days < 0:
        return ngettext("%(n)d day ago", "%(n)d days ago", -days) % {"n": -days}
    return ngettext("in %(n)d day", "in %(n)d days", days) % {"n": days}


def days_count(days: int) -> str:
    """ "1 day", "9 days"."""
    return ngettext("%(n)d day", "%(n)d days", days) % {"n": days}


def month(when: date) -> str:
    """ "March 2027"."""
    return date_format(when, pgettext("date format", "F Y"))


def short_day(when: date) -> str:
    """ "Th 11", for an axis."""
    return date_format(when, pgettext("date format", "D j"))
