"""Words of the season: what stands in its own way, and each row told as a sentence."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Protocol

from django.utils.translation import gettext, ngettext

from coaching.wording import care, dates
from coaching.wording.sentences import capital
from coaching.wording.squad import TAKEN


class Hurt(Protocol):
    """One clash."""

    code: str
    event: str
    day: date
    other: str
    days: int


def clash(found: Hurt, today: date) -> str:
    """One sentence that names the day, what meets what, and the rule behind it."""
    told = {"event": found.event, "day": dates.event_day(found.day), "other": _other(found), "n": found.days}
    return capital(SAID[found.code](found) % told)


def _other(found: Hurt) -> str:
    if found.code == "away":
        return str(TAKEN.get(found.other, found.other))
    return str(care.FORMS.get(found.other, found.other)) if found.code in ("first-use", "stop") else found.other


SAID: dict[str, Callable[[Hurt], str]] = {
    "two-events": lambda _: gettext("%(event)s and %(other)s meet on %(day)s."),
    "near-events": lambda one: gettext(
        "%(event)s is over the day before %(other)s on %(day)s: a deep split takes longer to close."
    ) if not one.days else ngettext(
        "%(n)d day between %(event)s and %(other)s on %(day)s: a deep split takes longer to close.",
        "%(n)d days between %(event)s and %(other)s on %(day)s: a deep split takes longer to close.", one.days,
    ),
    "away": lambda _: gettext("%(day)s, in %(event)s: %(other)s."),
    "first-use": lambda one: ngettext(
        "%(other)s would be used for the first time on %(day)s; before %(event)s no first use inside %(n)d day.",
        "%(other)s would be used for the first time on %(day)s; before %(event)s no first use inside %(n)d days.",
        one.days,
    ),
    "stop": lambda one: ngettext(
        "%(other)s is planned to %(day)s; its last day is %(n)d day before %(event)s.",
        "%(other)s is planned to %(day)s; its last day is %(n)d days before %(event)s.", one.days,
    ),
    "rough": lambda one: ngettext(
        "Sharp rock is planned on %(day)s; the last rough day is %(n)d day before %(event)s.",
        "Sharp rock is planned on %(day)s; the last rough day is %(n)d days before %(event)s.", one.days,
    ),
}  # fmt: skip


def headline(clashes: int) -> str:
    """The season in one line."""
    if not clashes:
        return gettext("Nothing in the calendar stands in its own way.")
    return ngettext("%(n)d clash in the calendar.", "%(n)d clashes in the calendar.", clashes) % {"n": clashes}


def row(events: int, rock: int, rest: int, courses: int) -> str:
    """What a row shows, in words."""
    return gettext("%(events)s, %(rock)s, %(courses)s, %(rest)s") % {
        "events": ngettext("%(n)d event", "%(n)d events", events) % {"n": events},
        "rock": ngettext("%(n)d day on rock planned", "%(n)d days on rock planned", rock) % {"n": rock},
        "courses": ngettext("%(n)d course of care", "%(n)d courses of care", courses) % {"n": courses},
        "rest": ngettext("%(n)d block of rest", "%(n)d blocks of rest", rest) % {"n": rest},
    }
