"""The event page as its template reads it: who is entered, exceptions first, with every word ready."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.functional import cached_property
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from coaching.pages import pictures
from coaching.pages.entry_part import DeadlineLine, deadline_line
from coaching.pages.event_airs import AirsSeen
from coaching.pages.rows import DECIDE, chance_of, is_stopped, range_of, reason_line
from coaching.usecases.shown_event import EntryRow, EventPage
from coaching.wording import calls, cautions, deadlines, event_words, levels, verdicts
from coaching.wording.event_sheet import counts, entry_lines
from coaching.wording.event_words import AirDay
from coaching.wording.sentences import Sentence

MOST_DEADLINES = 2


@dataclass(frozen=True)
class EntryLine:
    """One athlete in the event."""

    row: EntryRow

    @property
    def code(self) -> str:
        return self.row.athlete.code

    @property
    def name(self) -> str:
        return self.row.athlete.name

    @property
    def level(self) -> str | None:
        return self.row.level

    @property
    def said(self) -> list[str]:
        return entry_lines(self.row, self.row.athlete.as_of)

    @property
    def chance(self) -> str:
        entry = self.row.entry
        if entry is None:
            return ""
        return chance_of(self.row.athlete, entry)

    @property
    def range(self) -> str:
        entry = self.row.entry
        return range_of(self.row.athlete, entry) if entry else ""

    @property
    def range_bar(self) -> SafeString:
        if self.row.entry is None or self.stopped:
            return SafeString("")
        return pictures.range_bar(self.row.entry)

    @property
    def stopped(self) -> bool:
        return is_stopped(self.row.athlete)

    @property
    def reason(self) -> Sentence:
        if self.row.entry is not None:
            return reason_line(self.row.athlete, self.row.entry)
        if self.row.status == "withdrawn":
            return Sentence(gettext("Withdrawn."))
        waiting = self.row.athlete.computed_at is None
        return Sentence(
            gettext("Not computed yet.") if waiting else gettext("Nothing is concluded for this event.")
        )

    @property
    def may_ask(self) -> bool:
        """Whether what would be otherwise can be worked out for this viewer."""
        return self.row.level in DECIDE and {"damage", "checkins"} <= self.row.athlete.shared

    @property
    def verdict(self) -> str:
        return verdicts.verdict(self.row.athlete.today)

    @property
    def verdict_notes(self) -> list[str]:
        return verdicts.what_it_means(self.row.athlete.today)

    @cached_property
    def _undone(self) -> list[DeadlineLine]:
        entry = self.row.entry
        ahead = [d for d in (entry.deadlines if entry else ()) if deadlines.undone(d) and d.kind != "entry"]
        return [deadline_line(d, self.row.athlete.as_of) for d in sorted(ahead, key=lambda d: d.latest)]

    @property
    def deadlines(self) -> list[DeadlineLine]:
        """The nearest two; that of the entry itself stands once over the page."""
        return self._undone[:MOST_DEADLINES]

    @property
    def more_deadlines(self) -> int:
        return len(self._undone) - len(self.deadlines)


@dataclass(frozen=True)
class EventSeen:
    """The whole page."""

    page: EventPage

    @cached_property
    def lines(self) -> list[EntryLine]:
        return [EntryLine(row) for row in self.page.rows]

    @property
    def stand_ins(self) -> list[str]:
        """Who stands in, with their level, and for whom one is asked, with the day."""
        named = [row for row in self.page.running if row.status == "stand-in"]
        return event_words.stand_ins(named, self.page.running, self.page.as_of)

    @property
    def minors(self) -> bool:
        """Somebody under 18 is to start."""
        return any(row.athlete.minor for row in self.page.running)

    @property
    def headline(self) -> str:
        running = self.page.running
        names = [row.athlete.name for row in running if row.level in DECIDE]
        unknown = sum(row.level == "not-known" for row in running)
        return levels.headline(names, unknown, len(running)) if running else gettext("Nobody to start.")

    @property
    def title(self) -> str:
        return f"{self.page.event.name}, {event_words.event_days(self.page.event)}"

    @property
    def where(self) -> str:
        what = event_words.what_and_where(self.page.event, self.page.place, self.page.surface)
        return f"{what}, {event_words.when(self.page.event, self.page.as_of)}."

    @property
    def zone(self) -> str:
        return event_words.zone(self.page.event)

    @property
    def closes(self) -> str:
        return event_words.closes(self.page.event, self.page.as_of)

    @property
    def known(self) -> str:
        return event_words.known_at(self.page)

    @property
    def counted(self) -> str:
        return counts(self.page)

    @property
    def levels(self) -> list[tuple[str, int, str]]:
        """(level, how many, its word) for each level, in the order of the morning list."""
        found = [row.level for row in self.page.running]
        return [(code, found.count(code), levels.level(code)) for code in levels.ORDER]

    @property
    def not_shared(self) -> str:
        return event_words.not_shared(self.page.not_shared)

    @property
    def air(self) -> list[AirDay]:
        return event_words.air_days(self.page.air, self.page.as_of, self.page.units)

    @property
    def against_home(self) -> str:
        return event_words.against_home(self.page.air, self.page.units)

    @property
    def air_source(self) -> str:
        return event_words.air_source(self.page.air, self.page.as_of)

    @cached_property
    def airs(self) -> AirsSeen | None:
        return AirsSeen(self.page, self.page.airs) if self.page.airs else None

    @property
    def stop_rule(self) -> list[str]:
        return cautions.lines(calls.stop_rule)
