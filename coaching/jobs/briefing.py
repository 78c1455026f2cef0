"""The morning in three names, for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from athletes.records import access
from coaching.usecases import accounts, clock
from coaching.usecases.morning_list import morning_list
from coaching.usecases.shown import AthleteShown
from coaching.wording import levels, reasons

NAMES = 3
EXCEPTIONS = ("out-of-reach", "act", "tight", "not-known")


def lines() -> Iterator[str]:
    """The athletes to look at first, each with the reason and its date."""
    found = morning_list(access.OPERATOR(clock.now().date()))
    urgent = [row for row in found.rows if row.next_entry and row.next_entry.level in EXCEPTIONS]
    yield ""
    count = min(NAMES, len(urgent))
    yield f"Look at these {count} of {len(found.rows)} first:" if urgent else "Nobody needs a decision."
    for row in urgent[:NAMES]:
        yield from _athlete(row)
    yield "Skin only, not a medical clearance."
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
            yield f"  {login.role:<12} {login.username}  ({login.name})"
