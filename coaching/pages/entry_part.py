"""One entry on the athlete page: level, reasons, the number and its parts, deadlines, fallbacks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from django.utils.functional import cached_property
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from coaching.drawing.range_bar import draw_change
from coaching.pages import course, pictures
from coaching.pages.rows import is_stopped, reason_line
from coaching.rules.conclusions import Deadline, Reason
from coaching.usecases.shown import AthleteShown, EntryShown
from coaching.wording import dates, deadlines, fallbacks, levels, numbers, reasons
from coaching.wording.parts import parts
from coaching.wording.sentences import Sentence


@dataclass(frozen=True)
class DeadlineLine:
    date: str
    what: str
    depends: str
    spare: str
    state: str
    missed: bool
    rule: str = ""  # where the rulebook says why


@dataclass(frozen=True)
class PartLine:
    name: str
    said: str
    picture: SafeString


@dataclass(frozen=True)
class EntryPart:
    """What one entry shows, for the next event at full length and for later ones in short."""

    row: AthleteShown
    entry: EntryShown
    took: Mapping[str, tuple[int, ...]] = field(default_factory=dict)

    @property
    def level_line(self) -> str:
        return levels.level_for_event(self.entry, self.row.as_of)

    @property
    def when(self) -> str:
        return levels.event_when(self.entry, self.row.as_of)

    @property
    def first_reason(self) -> Sentence:
        return reason_line(self.row, self.entry)

    @property
    def more_reasons(self) -> list[Sentence]:
        """The other reasons, each sentence once: pink tips are one reason with several places."""
        said = [reasons.reason(found, self.entry, self.row.as_of) for found in _one_pink(self.entry)]
        return [one for one in dict.fromkeys(said) if one != self.first_reason]

    @property
    def stopped(self) -> bool:
        return is_stopped(self.row)

    @property
    def number(self) -> str:
        """The chance, or a dash where a doctor comes first."""
        if self.stopped:
            return "—"
        return numbers.short_chance(self.entry.p, self.entry.low, self.entry.high)

    @property
    def facts(self) -> list[str]:
        if self.stopped:
            return [gettext("a doctor first")]
        entry = self.entry
        said = [
            gettext("range %(range)s of 100") % {"range": numbers.chance_range(entry.low, entry.high)},
            numbers.bar(entry.bar_frac, entry.bar_provisional),
            levels.change_since(entry),
        ]
        if entry.good_days:
            said.append(numbers.good_days(entry.good_days))
        return [line for line in said if line]

    @property
    def deadlines(self) -> list[DeadlineLine]:
        return [deadline_line(found, self.row.as_of, self.entry.event.timezone) for found in self.entry.deadlines]

    @property
    def fallbacks(self) -> list[Sentence]:
        return [fallbacks.fallback(found, self.row.as_of) for found in self.entry.fallbacks]

    @property
    def usual(self) -> str:
        return (
            numbers.in_100(self.entry.p_usual, 5) if self.entry.p_usual is not None else gettext("not known")
        )

    @property
    def parts(self) -> list[PartLine]:
        """Each contribution alone, drawn from the number itself, because they do not add up."""
        entry = self.entry
        episodes = {d.episode_id: d for d in self.row.picture.damage} if self.row.picture else {}
        if entry.p is None or self.stopped:
            return []
        return [
            PartLine(part.name, part.said, _change(entry.p, part.change_frac, part.name, entry.bar_frac))
            for part in parts(entry, episodes)
        ]

    @cached_property
    def course(self) -> course.Course | None:
        return course.course(self.row, self.entry, self.took)


def _one_pink(entry: EntryShown) -> list[Reason]:
    first = next((found for found in entry.reasons if found.code == "pink"), None)
    return [found for found in entry.reasons if found.code != "pink" or found is first]


def _change(p: float, change_frac: float, name: str, bar_frac: float) -> SafeString:
    """From where the chance would stand without that one thing, to where it stands."""
    without = min(max(p - change_frac, 0.0), 1.0)
    return pictures.drawn(draw_change(without, p, name, bar_frac))


def deadline_line(found: Deadline, as_of: date, zone: str = "") -> DeadlineLine:
    """One deadline in words, for the pages that list them; an hour names its zone where one is given."""
    return DeadlineLine(
        date=_hour_with_zone(found.at, as_of, zone) if found.at and zone else deadlines.by_when(found, as_of),
        what=deadlines.what(found),
        depends="; ".join(filter(None, (deadlines.depends_on(found, as_of), deadlines.moved(found, as_of)))),
        spare=deadlines.days_to_spare(found) if deadlines.undone(found) else "",
        state=deadlines.state(found),
        missed=found.state == "missed",
        rule=found.rule,
    )


def _hour_with_zone(at: str, as_of: date, zone: str) -> str:
    """ "Fri 27, 17:00 Atlantic/Canary"; the name may break after its slash, because the column is narrow."""
    return dates.moment(at, as_of, zone.replace("/", "/\u200b"))
