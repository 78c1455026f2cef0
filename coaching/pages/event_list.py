"""The list of events as its template reads it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext, ngettext

from coaching.usecases.shown_event import EventLine, EventsList
from coaching.wording import event_words, levels


@dataclass(frozen=True)
class Line:
    """One event with its days, place and levels."""

    found: EventLine
    today: date

    @property
    def code(self) -> str:
        return self.found.event.code

    @property
    def name(self) -> str:
        return self.found.event.name

    @property
    def days(self) -> str:
        return event_words.event_days(self.found.event)

    @property
    def when(self) -> str:
        return event_words.when(self.found.event, self.today)

    @property
    def what(self) -> str:
        return event_words.what_and_where(self.found.event, self.found.place, self.found.surface)

    @property
    def closes(self) -> str:
        return event_words.closes(self.found.event, self.today)

    @property
    def entered(self) -> str:
        n = len(self.found.levels)
        return ngettext("%(n)d to start", "%(n)d to start", n) % {"n": n}

    @property
    def levels(self) -> list[tuple[str, int, str]]:
        """(level, how many, its word), only those that somebody has."""
        found = self.found.levels
        return [(code, found.count(code), levels.level(code)) for code in levels.ORDER if code in found]

    @property
    def not_shared(self) -> str:
        return event_words.not_shared(self.found.not_shared)


@dataclass(frozen=True)
class EventsShown:
    """The whole page."""

    found: EventsList

    @property
    def headline(self) -> str:
        """The next event and when; what nobody is entered for is not here."""
        if not self.coming:
            return gettext("No event ahead.")
        first = self.coming[0]
        return gettext("%(event)s %(when)s.") % {"event": first.name, "when": first.when}

    @property
    def coming(self) -> list[Line]:
        return [Line(line, self.found.today) for line in self.found.coming]

    @property
    def over(self) -> list[Line]:
        return [Line(line, self.found.today) for line in self.found.over]
