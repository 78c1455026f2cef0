"""The morning in three names, for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext, ngettext

from athletes.records import access
from coaching.usecases import accounts, clock
from coaching.usecases.morning_list import morning_list
from coaching.usecases.shown import AthleteShown
from coaching.wording import levels, people, reasons

NAMES = 3
OLD_DAYS = 3
"""Days of silence after which a demo shows little but athletes of whom nothing is known."""
EXCEPTIONS = ("out-of-reach", "act", "tight", "not-known")


def lines() -> Iterator[str]:
    """The athletes to look at first, each with the reason and its date, and how old it all is where it is old."""
    found = morning_list(access.OPERATOR(clock.now().date()))
    urgent = [row for row in found.rows if row.next_entry and row.next_entry.level in EXCEPTIONS]
    yield ""
    count = min(NAMES, len(urgent))
    look = ngettext("Look at this {n} of {all} first:", "Look at these {n} of {all} first:", count)
    yield look.format(n=count, all=len(found.rows)) if urgent else gettext("Nobody needs a decision.")
    for row in urgent[:NAMES]:
        yield from _athlete(row)
    yield gettext("Skin only, not a medical clearance.")
    old = min(((row.as_of - row.known_until).days for row in found.rows if row.known_until), default=0)
    if old >= OLD_DAYS:
        yield gettext("Nobody has answered for {n} days. --fresh starts over with answers up to today.").format(n=old)
    yield ""


def _athlete(row: AthleteShown) -> Iterator[str]:
    entry = row.next_entry
    if entry is None:
        return
    yield f"  {row.name}: {levels.level(entry.level)}, {entry.event.name}"
    if entry.reasons:
        yield f"      {reasons.reason(entry.reasons[0], entry, row.as_of).plain}"


def logins() -> Iterator[str]:
    """One line for each kind of login, coach and athlete first."""
    seen: set[str] = set()
    for login in accounts.demo_logins():
        if login.role not in seen:
            seen.add(login.role)
            yield f"  {people.role(login.role):<12} {login.username}  ({login.name})"
