"""Who sees what, and who looked, as the templates read them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.utils.translation import gettext

from athletes.records.glass import Look
from athletes.records.reads import Read
from coaching.usecases.who_sees import Cell, WhoSees
from coaching.wording import dates, people, sharing
from coaching.wording.sentences import capital, series


@dataclass(frozen=True)
class CellShown:
    """One line: what, how it stands, whose word is there, and the button's value and words."""

    name: str
    holds: str
    state: str
    shared: bool
    words: str
    value: str
    button: str
    label: str


@dataclass(frozen=True)
class RoleShown:
    code: str
    name: str
    who: str
    purpose: str
    cells: list[CellShown]
    any_mine: bool
    more_than_level: bool


class WhoSeesShown:
    """The whole page."""

    def __init__(self, found: WhoSees) -> None:
        self.found = found
        self.text = [str(line) for line in (sharing.TEXT_OF_GUARDIAN if found.as_guardian else sharing.TEXT)]
        self.minor = found.athlete.minor
        self.roles = [
            RoleShown(
                one.role if one.person is None else f"{one.role}-{one.person}",
                capital(people.role(one.role)),
                series(one.names),
                sharing.purpose(one.purpose),
                [self._cell(cell, one.role) for cell in one.cells],
                any(cell.mine for cell in one.cells),
                any(cell.mine for cell in one.cells if cell.what.data_class != "level"),
            )
            for one in found.roles
        ]

    @property
    def under_age(self) -> list[str]:
        """What somebody under 18 is told beyond the text: the two words, and that a guardian sees everything."""
        if not self.minor or self.found.of_age_on is None:
            return []
        said = {"who": series(self.found.guardians), "day": dates.long_day(self.found.of_age_on)}
        if self.found.as_guardian:
            line = gettext("You see everything until the day before %(day)s, the 18th birthday; then all of this ends.")
            return [str(sharing.UNDER_AGE_OF_GUARDIAN), line % said]
        told = [str(sharing.UNDER_AGE)]
        if self.found.guardians:
            told.append(gettext("Your guardian %(who)s sees everything of yours until you are 18.") % said)
        else:
            told.append(gettext("No guardian signs in for you yet. Whoever does sees all of yours until you are 18."))
        return [*told, gettext("On %(day)s you are 18: all of this ends, and you are asked anew.") % said]

    @property
    def looks(self) -> list[str]:
        return support(self.found.looks, self.found.athlete.timezone)

    def _cell(self, cell: Cell, role: str) -> CellShown:
        name = sharing.data_class(cell.what.data_class)
        person = "" if cell.what.person is None else f":{cell.what.person}"
        said = {"what": name.lower(), "who": people.role(role)}
        stop, give = gettext("stop sharing %(what)s with the %(who)s"), gettext("share %(what)s with the %(who)s")
        return CellShown(
            name=name,
            holds=sharing.what_it_holds(cell.what.data_class),
            state=sharing.until(cell.until),
            shared=cell.shared,
            words=self._words(cell) if self.minor else "",
            value=f"{'stop' if cell.mine else 'share'}:{role}:{cell.what.data_class}{person}",
            button=gettext("Stop") if cell.mine else gettext("Share"),
            label=(stop if cell.mine else give) % said,
        )

    def _words(self, cell: Cell) -> str:
        yes, no = gettext("yes"), gettext("not yet")
        told = {"own": yes if cell.own else no, "guardian": yes if cell.guardian else no}
        if self.found.as_guardian:
            return gettext("athlete: %(own)s; you, the guardian: %(guardian)s") % told
        return gettext("you: %(own)s; your guardian: %(guardian)s") % told


def support(looks: Iterable[Look], zone: str) -> list[str]:
    """A sentence for each look of support's."""
    line = gettext("%(when)s: %(who)s, support, was let in to your whole record until %(until)s. Reason given: %(why)s")
    found = []
    for look in looks:
        opened, ends = (at.astimezone(ZoneInfo(zone)) for at in (look.opened_at, look.ends_at))
        when = f"{dates.long_day(opened.date())}, {dates.clock_time(opened)}"
        found.append(line % {"when": when, "who": look.who, "until": dates.clock_time(ends), "why": look.reason})
    return found


@dataclass(frozen=True)
class LookedShown:
    """One person on one day."""

    who: str
    first: str
    last: str
    pages: list[str]
    classes: str


def looked(reads: Iterable[Read], zone: str) -> list[tuple[str, list[LookedShown]]]:
    """(day, people) of the reads, newest first."""
    found: dict[str, dict[tuple[int | None, str, tuple[str, ...]], list[Read]]] = {}
    for read in reads:
        day = dates.long_day(read.at.astimezone(ZoneInfo(zone)).date())
        found.setdefault(day, {}).setdefault((read.person, read.who, read.roles), []).append(read)
    return [(day, [_person(group, zone) for group in by.values()]) for day, by in found.items()]


def _person(group: list[Read], zone: str) -> LookedShown:
    one = group[0]
    pages = Counter(sharing.page(read.what) for read in group)
    at = [dates.clock_time(read.at.astimezone(ZoneInfo(zone))) for read in (group[-1], group[0])]
    name = one.who or gettext("somebody who is no longer here")
    return LookedShown(
        who=f"{name}, {people.role_list(one.roles)}" if one.roles else name,
        first=at[0],
        last=at[1],
        pages=[f"{words} ({sharing.times(n)})" if n > 1 else words for words, n in pages.items()],
        classes=sharing.classes_seen(code for read in group for code in read.classes),
    )
