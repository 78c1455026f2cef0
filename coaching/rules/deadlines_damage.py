"""Looks and taped tries that decide whether damage, or pink tips, still allow a start."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from coaching.rules import disagreement
from coaching.rules.case import Case
from coaching.rules.conclusions import Deadline
from coaching.rules.damage import SURE_SOUND, Damage
from coaching.rules.deadline_states import Last, action
from coaching.rules.event_needs import closes_on
from coaching.rules.facts import EntryFact
from coaching.rules.holds import near
from coaching.rules.refusals import allowed_now

ONE_DAY = timedelta(days=1)
TRY_COUNTS_DAYS = 2
PINK_MATTERS_DAYS = 14


def looks_and_tries(case: Case, entry: EntryFact) -> tuple[Deadline, ...]:
    """Two looks and a taped try for damage that may not be sound by then; one look for pink tips."""
    if case.as_of >= entry.first_day or case.medical_stop:
        return ()
    found = [one for damage in at_stake(case, entry) for one in _for_damage(case, entry, damage)]
    return tuple(dict.fromkeys((*found, *_for_pink(case, entry), *_for_disagreement(case, entry))))


def at_stake(case: Case, entry: EntryFact) -> tuple[Damage, ...]:
    """Damage that bears on the event and is not as good as sure to be sound on its first day, or whose pain
    gate stands: only a look lifts it.
    """
    found = case.damages_for(entry)
    return tuple(one for one in found if one.gated or one.p_sound(entry.first_day) < SURE_SOUND)


def try_day(case: Case, entry: EntryFact, damage: Damage) -> date:
    """Two days before the event, and before the day on which entries close, so that its answer can be used.

    Damage that is too fresh for that is tried later, at the latest the day before the event: the start can
    still be taken back then; so is what was not tried by then. Where no day is worth a try, the day of the last look.
    """
    closes = closes_on(case, entry)
    return _first_worth(case, entry, damage, closes if closes and closes > case.as_of else None)


def has_try(case: Case, entry: EntryFact, damage: Damage) -> bool:
    """Whether a taped try is proposed at all: not before damage can be usable, not without leave to tape."""
    may_tape = allowed_now(case, "session tape", (damage.site,), case.as_of)
    return may_tape and damage.worth_a_try(try_day(case, entry, damage))


def try_pending(case: Case, entry: EntryFact, damage: Damage) -> bool:
    """A taped try that is proposed, not done yet and not ruled out by its look."""
    day = try_day(case, entry, damage)
    return has_try(case, entry, damage) and not _tried(case, damage, day) and not _ruled_out(damage, day)


def _ruled_out(damage: Damage, day: date) -> bool:
    """The look that the try waits for has come and found it open."""
    return damage.is_open and damage.last_look is not None and damage.last_look >= day


def _first_worth(case: Case, entry: EntryFact, damage: Damage, closes: date | None) -> date:
    """The first day that is worth a try, if entries close then; none is: the first of them."""
    eve = entry.first_day - ONE_DAY
    usual = entry.first_day - timedelta(days=case.book.deadlines["taped-try"].days[1])
    first = min(usual, closes - ONE_DAY) if closes else usual
    if damage.began_on >= first:
        first = min(damage.began_on + ONE_DAY, eve)
    days = (first, max(first, usual), eve)
    return next((day for day in days if damage.worth_a_try(day)), days[0])


def first_look_day(case: Case, entry: EntryFact, damage: Damage) -> date | None:
    """Late end of closing, but two days before the second look; None: no room for it, or no need of it.

    Found open after that, it is looked at again two days later. It hangs on what was seen and not on today: a look
    that nobody took does not move on.
    """
    if not damage.is_open:
        return None
    return _due_after(case, entry, damage, max(damage.began_on, damage.last_look or damage.began_on))


def _due_after(case: Case, entry: EntryFact, damage: Damage, seen_on: date) -> date | None:
    apart = timedelta(days=case.book.deadlines["look"].days[1])
    due = damage.closes_by if damage.closes_by > seen_on else seen_on + apart
    asked = _first_worth(case, entry, damage, closes_on(case, entry)), try_day(case, entry, damage)
    return next((day for last in asked if (day := min(due, last - apart)) > seen_on), None)


def _taken_on(case: Case, entry: EntryFact, damage: Damage) -> date | None:
    """The day that the last look was asked for, where it came then or later; None: it came of its own."""
    looks = [one.day for one in damage.fact.looks if one.day <= case.as_of]
    if not looks:
        return None
    asked = _due_after(case, entry, damage, max([damage.began_on, *looks[:-1]]))
    return asked if asked is not None and asked <= looks[-1] else None


def _for_damage(case: Case, entry: EntryFact, damage: Damage) -> Iterator[Deadline]:
    final = try_day(case, entry, damage)
    first, taken = first_look_day(case, entry, damage), _taken_on(case, entry, damage)
    median = damage.day_of("closed", "q50_d")
    if taken is not None and taken < final:
        yield _look(case, damage, taken, None)
    if first is not None and first < final:
        yield _look(case, damage, first, median)
        if first < case.as_of < final - ONE_DAY:  # it was not taken: tomorrow
            yield _look(case, damage, case.as_of + ONE_DAY, median)
    yield from _unused(case, entry, damage, final)
    yield _look(case, damage, final, median)
    if not has_try(case, entry, damage):
        return
    usable = damage.day_of("usable", "q50_d")
    tried = action(
        case, Last("taped-try", final, usable, "taped try", damage.site), _tried(case, damage, final)
    )
    if _ruled_out(damage, final):
        tried = replace(tried, earliest=None, state="missed")
    earliest = min(usable, final) if usable and tried.earliest else tried.earliest
    yield replace(tried, earliest=earliest, if_=f"look:{final.isoformat()}")


def _unused(case: Case, entry: EntryFact, damage: Damage, final: date) -> Iterator[Deadline]:
    """The look and the try whose answer the entry waited for, once entries have closed without it: missed for good."""
    day = _first_worth(case, entry, damage, closes_on(case, entry))
    if not damage.began_on < day < final or day > case.as_of:
        return
    yield _look(case, damage, day, None)
    if has_try(case, entry, damage) and damage.worth_a_try(day):
        yield action(case, Last("taped-try", day, None, "taped try", damage.site), _tried(case, damage, day))


def _look(case: Case, damage: Damage, day: date, median: date | None) -> Deadline:
    looked = damage.last_look is not None and damage.last_look >= day
    shown = median if median and median <= day else None
    return action(case, Last("look", day, shown, site=damage.site), looked)


def _tried(case: Case, damage: Damage, final: date) -> bool:
    """A taped try on that site in the last days before its latest day, with the damage seen closed."""
    if damage.is_open:
        return False
    since = max(damage.began_on, final - timedelta(days=TRY_COUNTS_DAYS))
    return any(
        row.day >= since and (not row.sites or any(near(site, damage.site) for site in row.sites))
        for row in case.done("taped try")
    )


def _for_disagreement(case: Case, entry: EntryFact) -> Iterator[Deadline]:
    """Two records that differ: a look in person at the next session, at the latest the day before the event."""
    found = disagreement.disagreement(case.facts, case.as_of)
    if found is None or (entry.first_day - case.as_of).days > PINK_MATTERS_DAYS:
        return
    eve = entry.first_day - ONE_DAY
    days = [min(disagreement.look_by(case.facts, found.seen_on), eve)]
    if days[0] < case.as_of:  # it was not taken: at the next one
        days.append(min(disagreement.look_by(case.facts, case.as_of), eve))
    for day in dict.fromkeys(days):
        yield from (action(case, Last("look", day, site=site), done=False) for site in found.sites)


def _for_pink(case: Case, entry: EntryFact) -> Iterator[Deadline]:
    """One look on the third day after pink was seen, at the latest the day before the event."""
    if case.pink is None:
        return
    day = min(case.pink.look_on, entry.first_day - ONE_DAY)
    if (entry.first_day - case.as_of).days > PINK_MATTERS_DAYS:
        return
    for site in case.pink.sites:
        yield action(case, Last("look", day, site=site), done=False)
