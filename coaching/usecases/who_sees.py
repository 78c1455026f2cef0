"""Who may see what of an athlete: shown to them, given and taken back by them, or by a minor's guardian beside them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from athletes.records import access_words, choices, consents, erasures, glass
from athletes.records.access import PURPOSE_OF_ROLE, AthleteRef
from athletes.records.consents import Text, What, Word
from athletes.records.erasures import Wish
from athletes.records.glass import Look
from athletes.records.viewer import Viewer
from coaching.usecases import clock

__all__ = ["Cell", "Text", "What", "WhoSees", "give", "only_level", "who_sees", "withdraw"]


@dataclass(frozen=True)
class Cell:
    """One class of data and one role. `own` and `guardian` say whose word stands, `mine` whether the reader's does;
    `until` is the last day, of the word that ends first, where it is shared at all.
    """

    what: What
    own: bool
    guardian: bool
    mine: bool
    shared: bool
    until: date | None


@dataclass(frozen=True)
class RoleSees:
    """A role, who holds it, for what, and a cell for each class of data. `person` is a key where it is one person's."""

    role: str
    purpose: str
    names: tuple[str, ...]
    cells: tuple[Cell, ...]
    person: int | None = None


@dataclass(frozen=True)
class WhoSees:
    athlete: AthleteRef
    as_guardian: bool
    guardians: tuple[str, ...]
    of_age_on: date | None
    roles: tuple[RoleSees, ...]
    looks: tuple[Look, ...]
    wish: Wish | None


def who_sees(viewer: Viewer, code: str | None) -> WhoSees:
    """The page of the athlete, or of the ward with this code. Raises NotFound."""
    athlete = consents.subject(viewer, code)
    by = consents.spoken_as(viewer, athlete)
    words = consents.live_words(athlete.id, viewer.today)
    people = consents.grantees(athlete)
    named = {role: tuple(one.name for one in people if one.role == role) for role in PURPOSE_OF_ROLE}
    alone = sorted({(w.what.role, w.what.person) for w in words if w.what.person is not None}, key=str)
    holder = {one.person: one.name for one in people}
    rows = [(role, None, names) for role, names in named.items() if names]
    rows += [(role, person, (holder[person],)) for role, person in alone if person in holder]
    return WhoSees(
        athlete=athlete,
        as_guardian=by == "guardian",
        guardians=tuple(consents.guardians(athlete)),
        of_age_on=consents.of_age_on(athlete) if athlete.minor else None,
        roles=tuple(_role(role, person, names, words, by, athlete.minor) for role, person, names in rows),
        looks=glass.of_athlete(athlete.id),
        wish=erasures.wish(athlete.id),
    )


def give(viewer: Viewer, code: str | None, what: Iterable[What], text: Text) -> int:
    """Give the word. Raises NotFound, and BadInput for what cannot be given."""
    return consents.give(viewer, consents.subject(viewer, code), what, text, clock.now())


def withdraw(viewer: Viewer, code: str | None, what: Iterable[What], text: Text) -> int:
    """Take it back; the next request of whoever saw it finds nothing. Raises NotFound."""
    return consents.withdraw(viewer, consents.subject(viewer, code), what, text, clock.now())


def only_level(viewer: Viewer, code: str | None, role: str, text: Text) -> None:
    """The level and nothing else to a role. Raises NotFound, and BadInput for what is no role."""
    athlete, now = consents.subject(viewer, code), clock.now()
    consents.give(viewer, athlete, [What(role, "level")], text, now)
    rest = [What(role, one) for one in choices.DATA_CLASSES if one != "level"]
    consents.withdraw(viewer, athlete, rest, text, now)


def everything(role: str, person: int | None = None) -> list[What]:
    """Every class of data for a role."""
    return [What(role, one, person) for one in choices.DATA_CLASSES]


def _role(role: str, person: int | None, names: tuple[str, ...], words: list[Word], by: str, minor: bool) -> RoleSees:
    cells = (_cell(what, [w for w in words if w.what == what], by, minor) for what in everything(role, person))
    return RoleSees(role, PURPOSE_OF_ROLE[role], names, tuple(cells), person)


def _cell(what: What, words: list[Word], by: str, minor: bool) -> Cell:
    own = any(word.by in ("self", "both") for word in words)
    guardian = any(word.by in ("guardian", "both") for word in words)
    shared = own and (guardian or not minor)
    until = _until(words, minor) if shared else None
    return Cell(what, own, guardian, own if by == "self" else guardian, shared, until)


def _until(words: Iterable[Word], minor: bool) -> date:
    """To the last end of the athlete's own words; of a minor's only as long as a guardian's words count too."""
    ends = {"self": date.min, "guardian": date.min}
    for word in words:
        last = word.given_on + timedelta(days=access_words.LONGEST_DAYS)
        for speaker in ends if word.by == "both" else (word.by,):
            ends[speaker] = max(ends[speaker], min(last, word.until or last))
    return min(ends.values()) if minor else ends["self"]
