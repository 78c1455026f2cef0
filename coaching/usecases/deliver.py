"""Take one entry of a phone's queue. Entries arrive late, twice, and in any order; what stands afterwards is the fold
of all that arrived, by (`seq`, `device`): whoever sees what somebody else had sent counts on from there, so a later
entry has the higher number whatever the phones' clocks say.

What was told by another way meanwhile (on a page, by a program, by one of the team) is not lost: before an entry
counts, whatever stands and comes from no entry is kept as one of its own, behind all that had arrived by then.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import Any
from zoneinfo import available_timezones

from django.utils.translation import gettext

from athletes.records import access, deliveries
from athletes.records.access import AthleteRef
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.folding import Folding, folded, told_besides
from coaching.usecases.storing import storing

Body = Mapping[str, Any]


@dataclass(frozen=True)
class Entry:
    """One entry as the phone sends it: `about` names the thing within the kind; the phone's time is kept, not trusted.
    """

    kind: str
    about: str
    device: str
    seq: int
    body: Body
    said_at: datetime | None = None
    skew_s: float | None = None
    timezone: str = ""


@dataclass(frozen=True)
class Folds:
    """How entries of one kind join, and what stands of the thing. Without it each entry stands by itself."""

    how: Folding
    standing: Callable[[int, str], Body]


@dataclass(frozen=True)
class Taken:
    """`seen` is the highest number that has arrived of this athlete; whoever hears it counts on from there."""

    athlete: AthleteRef
    seen: int
    corrected: bool


Store = Callable[[Body, date], bool]
"""Stores a whole body, given the last day that has begun where the person is; True where it corrected what stood."""


def deliver(
    viewer: Viewer, athlete_code: str, entry: Entry, folds: Folds | None, store: Store, now: datetime | None = None
) -> Taken:
    """Keep the entry and store what all come to. Raises NotFound for whoever may not answer for the athlete, and
    BadInput; then nothing is stored, and the phone keeps the entry.
    """
    at = now or clock.now()
    athlete = access.athlete_to_check_in(viewer, athlete_code)
    with storing([athlete.id], at):
        if _arrived_before(athlete, entry):
            return Taken(athlete, deliveries.highest(athlete.id), corrected=True)
        known = deliveries.of(athlete.id, entry.kind, entry.about) if folds else []
        common = {"kind": entry.kind, "about": entry.about, "arrived_at": at}
        if folds:
            _keep_besides(athlete.id, folds, known, entry, common)
        told = {"said_at": entry.said_at, "skew_s": entry.skew_s, "timezone": entry.timezone}
        place = {"device": entry.device, "seq": entry.seq, "by_id": viewer.account_id}
        known.append(deliveries.add(athlete.id, body=dict(entry.body), **place, **told, **common))
        whole = _fold(known, folds.how) if folds else entry.body
        corrected = store(whole, last_day(athlete, entry.timezone, at))
    return Taken(athlete, deliveries.highest(athlete.id), corrected)


def last_day(athlete: AthleteRef, timezone: str, at: datetime) -> date:
    """The last day that has begun for the athlete: at home, or in the zone that their phone is in by now."""
    home = clock.local_day(at, athlete.timezone)
    return max(home, clock.local_day(at, timezone)) if timezone in _zones() else home


@cache
def _zones() -> frozenset[str]:
    """Zones with rules on this machine; a phone may know one that it does not."""
    return frozenset(available_timezones())


def _fold(known: list[deliveries.Entry], how: Folding) -> dict[str, Any]:
    return folded((one.body for one in sorted(known, key=lambda one: one.order)), how)


def _arrived_before(athlete: AthleteRef, entry: Entry) -> bool:
    """The very same entry under another key stores nothing again; another one under its number is refused."""
    before = deliveries.sent_as(athlete.id, entry.device, entry.seq)
    if before is not None and before != (entry.kind, entry.about, dict(entry.body)):
        raise BadInput("seq", gettext("was sent before with other answers"), entry.seq)
    return before is not None


def _keep_besides(
    athlete_id: int, folds: Folds, known: list[deliveries.Entry], entry: Entry, common: Mapping[str, Any]
) -> None:
    """What stands and comes from no entry becomes one, in the place after all that had arrived."""
    besides = told_besides(folds.standing(athlete_id, entry.about), _fold(known, folds.how), folds.how)
    if besides:
        seq = max((one.seq for one in known), default=0)  # of this thing: all that had arrived when it was told
        known.append(deliveries.add(athlete_id, device=deliveries.BESIDES, seq=seq, body=besides, **common))


