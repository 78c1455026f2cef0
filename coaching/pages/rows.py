"""The morning list as the template reads it: one line an athlete, every word ready."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from zoneinfo import ZoneInfo

from django.urls import get_script_prefix
from django.utils.functional import cached_property
from django.utils.safestring import SafeString
from django.utils.translation import get_language, gettext

from coaching.pages import pictures
from coaching.pages.kept import Kept
from coaching.pages.morning_wish import Choices, Wish
from coaching.pages.row_html import row_html
from coaching.usecases.shown import AthleteShown, EntryShown, EventShown, ListLine, MorningList
from coaching.usecases.waiting import asked_of
from coaching.wording import actions, dates, levels, limits, numbers, reasons, verdicts
from coaching.wording.sentences import Sentence, joined

QUIET = "on-course"
DECIDE = ("out-of-reach", "act")
LOUD = ("medical", "disagreement")
STOPS = ("today", "emergency")
"""Grades that a doctor must judge first: no number stands beside them."""


@dataclass(frozen=True)
class Row:
    """One athlete's line. `level` is None where no event is entered or nothing is concluded yet."""

    code: str
    name: str
    level: str | None
    level_word: str
    event: str
    strip: pictures.Strip
    reason: Sentence
    quiet: bool
    changed: bool
    chance: str = ""
    range: str = ""
    range_bar: SafeString = SafeString("")
    change: str = ""
    event_code: str = ""
    stopped: bool = False
    today: str = ""
    asks: bool = False


@dataclass(frozen=True)
class Gist:
    """What the page needs of every line before it can draw any: the tallest load, and the events entered."""

    top_slu: float | None
    events: tuple[EventShown, ...]


@dataclass(frozen=True)
class Drawn:
    """A finished line, with what is counted of it and what it is sorted and picked by."""

    name: str
    level: str | None
    html: bytes
    events: tuple[str, ...] = ()
    first_day: date = date.max
    changed: bool = False


KEPT_LINES = 4096
"""Lines that a process remembers (judgement): four squads of a thousand, about 7 kB each."""
_gists: Kept[Gist] = Kept(KEPT_LINES)
_drawn: Kept[Drawn] = Kept(KEPT_LINES)


def forget_drawn() -> None:
    """Draw everything anew from here on."""
    _gists.clear()
    _drawn.clear()


class Page:
    """The list with what is said over it. Lines drawn before are drawn again only where something in them changed."""

    def __init__(self, shown: MorningList, wish: Wish | None = None) -> None:
        self.shown = shown
        self.wish = wish or Wish()
        self._read: dict[Hashable, AthleteShown] = {}

    def _athlete(self, line: ListLine) -> AthleteShown:
        """Each line is read at most once for a page."""
        if line.key not in self._read:
            self._read[line.key] = line.show()
        return self._read[line.key]

    @cached_property
    def _gist(self) -> list[Gist]:
        return [_gists.get(line.key, partial(self._gist_of, line)) for line in self.shown.lines]

    def _gist_of(self, line: ListLine) -> Gist:
        return gist(self._athlete(line))

    @cached_property
    def _top_slu(self) -> float:
        return pictures.tallest_of(one.top_slu for one in self._gist)

    @cached_property
    def rows(self) -> list[Row]:
        """Every line as it is drawn, in the order of the list."""
        return [row_of(self._athlete(line), self._top_slu) for line in self.shown.lines]

    @cached_property
    def drawn(self) -> list[Drawn]:
        where = (self._top_slu, get_language(), get_script_prefix())
        return [_drawn.get((line.key, where), partial(self._drawn_of, line)) for line in self.shown.lines]

    def _drawn_of(self, line: ListLine) -> Drawn:
        one = self._athlete(line)
        events = tuple(entry.event.code for entry in one.entries)
        first = min((entry.event.first_day for entry in one.entries), default=date.max)
        return replace(drawn(row_of(one, self._top_slu)), events=events, first_day=first)

    @cached_property
    def listed(self) -> list[Drawn]:
        """The lines that were asked for, in the order asked for."""
        return self.wish.of(self.drawn)

    @cached_property
    def choices(self) -> Choices:
        """The ways to sort and to pick, as links that keep what else was asked for."""
        found = {event.code: event.name for one in self._gist for event in one.events}
        return Choices(self.wish, tuple(found.items()))

    @property
    def headline(self) -> str:
        names = [row.name for row in self.drawn if row.level in DECIDE]
        unknown = sum(row.level == "not-known" for row in self.drawn)
        return levels.headline(names, unknown, len(self.drawn))

    @property
    def known(self) -> str:
        known_at = self.shown.known_at.astimezone(ZoneInfo(self.shown.timezone))
        return gettext("%(day)s, as known at %(time)s (%(zone)s).") % {
            "day": dates.long_day(self.shown.as_of), "time": dates.clock_time(known_at), "zone": self.shown.timezone,
        }  # fmt: skip

    @property
    def counts(self) -> list[tuple[str, int, str, str, bool]]:
        """(level, how many, its word, the address of these alone or of all again, whether picked), in the order of the
        list.
        """
        found, picked = [row.level for row in self.drawn], self.wish.level
        return [
            (code, found.count(code), levels.level(code), self.wish.address(level="" if code == picked else code),
             code == picked)
            for code in levels.ORDER
        ]  # fmt: skip

    @property
    def computing(self) -> str:
        """ "Computing, 20 of 24 are done." while conclusions are older than facts, else nothing."""
        total = len(self.shown.lines)
        done = total - max(self.shown.stale, sum(line.computed_at is None for line in self.shown.lines))
        if done >= total:
            return ""
        return gettext("Computing, %(done)d of %(total)d are done.") % {"done": max(done, 0), "total": total}

    @property
    def axis(self) -> pictures.Strip:
        found = {event.code: event for one in self._gist for event in one.events}
        return pictures.axis(self.shown.as_of, sorted(found.values(), key=lambda one: (one.first_day, one.name)))

    @property
    def squads(self) -> str:
        return ", ".join(self.shown.squad_names)


def gist(row: AthleteShown) -> Gist:
    """What the page needs of one athlete before it can draw any line."""
    return Gist(pictures.highest_slu(row.picture), tuple(entry.event for entry in row.entries))


def drawn(row: Row) -> Drawn:
    """The finished line."""
    return Drawn(row.name, row.level, row_html(row).encode(), changed=row.changed)


def row_of(row: AthleteShown, top_slu: float) -> Row:
    """The line of one athlete."""
    entry = row.next_entry
    if entry is None:
        return _without_entry(row, top_slu)
    said = reason_line(row, entry)
    quiet, stopped = _is_quiet(row, entry), is_stopped(row)
    wedge = actions.acts_on(entry.reasons[0], entry, row.as_of) if entry.reasons and not quiet else None
    return Row(
        code=row.code,
        name=row.name,
        level=entry.level,
        level_word=levels.level(entry.level),
        event=levels.event_when(entry, row.as_of),
        strip=pictures.row_strip(row, _told(row, entry, said), wedge, top_slu, quiet),
        reason=said,
        quiet=quiet,
        changed=bool(levels.change_since(entry)),
        chance=chance_of(row, entry),
        range=range_of(row, entry),
        range_bar=SafeString("") if stopped else pictures.range_bar(entry),
        change="" if stopped else levels.change_since(entry),
        event_code=entry.event.code,
        stopped=stopped,
        today=today_of(row),
        asks=any(True for _ in asked_of(row)),
    )


def today_of(row: AthleteShown) -> str:
    """Today's verdict and limit, where there is more to say than that all goes as planned."""
    if is_stopped(row):
        return ""
    limit = next((one for one in row.limits if one.date == row.as_of and one.surface is not None), None)
    allowed = [] if limit is None else limits.what_is_allowed(limit)
    if row.today.may_climb == "free" and not allowed:
        return ""
    return gettext("Today: %(verdict)s.") % {"verdict": "; ".join([verdicts.verdict(row.today), *allowed])}


def is_stopped(row: AthleteShown) -> bool:
    """A sign that a doctor must judge stands: no chance may outshine it."""
    return row.medical in STOPS


def advice_of(row: AthleteShown) -> list[str]:
    """What a standing sign asks for; without answers and damage the instruction alone."""
    return verdicts.medical_advice(row.medical, told=bool(row.shared & {"checkins", "damage"}))


def chance_of(row: AthleteShown, entry: EntryShown) -> str:
    """The chance in figures; a dash where it is not known or where a doctor comes first."""
    if is_stopped(row) or entry.p is None:
        return "—"
    return numbers.figure(entry.p, numbers.rounding(entry.low, entry.high))


def range_of(row: AthleteShown, entry: EntryShown) -> str:
    """The range in figures, or who comes first."""
    return gettext("a doctor first") if is_stopped(row) else numbers.figures(entry.low, entry.high)


def _is_quiet(row: AthleteShown, entry: EntryShown) -> bool:
    """On course, and nothing that somebody should look at whatever the level."""
    return not is_stopped(row) and entry.level == QUIET and not any(found.code in LOUD for found in entry.reasons[:1])


def reason_line(row: AthleteShown, entry: EntryShown) -> Sentence:
    """The first reason; a medical word outranks it; what is not shared is said to be so."""
    if is_stopped(row) and not any(found.code == "medical" for found in entry.reasons[:1]):
        return Sentence(" ".join(advice_of(row)[:1]))
    if entry.reasons and not _is_quiet(row, entry):
        return reasons.reason(entry.reasons[0], entry, row.as_of)
    if entry.level == QUIET:
        when = gettext("%(event)s, %(day)s.") % {
            "event": entry.event.name, "day": dates.event_day(entry.event.first_day),
        }  # fmt: skip
        return joined([Sentence(when), reasons.quiet(entry, row.as_of)])
    return Sentence(gettext("The reason is not shared with you."))


def _told(row: AthleteShown, entry: EntryShown, said: Sentence) -> str:
    """The row in words, for whoever hears the page."""
    return gettext("%(name)s, %(level)s. %(reason)s") % {
        "name": row.name, "level": levels.level_for_event(entry, row.as_of), "reason": said.plain,
    }  # fmt: skip


def _without_entry(row: AthleteShown, top_slu: float) -> Row:
    waiting = row.computed_at is None
    said = gettext("Not computed yet.") if waiting else gettext("No event entered.")
    strip = pictures.row_strip(row, f"{row.name}. {said}", None, top_slu, quiet=True)
    return Row(
        row.code,
        row.name,
        None,
        gettext("not known") if waiting else "",
        "",
        strip,
        Sentence(said),
        True,
        False,
    )
