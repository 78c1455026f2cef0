"""After an event: what was said, what came, and which days of preparation had been missed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from athletes.records import queries_events
from athletes.records.access import AthleteRef
from athletes.records.errors import NotFound
from athletes.records.queries_events import EventFacts
from athletes.records.viewer import Viewer
from coaching.ledger.kept import KeptRow, kept_of
from coaching.rules.conclusions import Deadline
from coaching.rules.facts import AthleteFacts
from coaching.usecases import conclude
from coaching.usecases.cutting import deadline_class
from coaching.usecases.morning_list import COACHING

HORIZONS = (14, 7, 1)
"""Days before the event of which the forecast is shown; the last one made by then, at most `STALE_DAYS` older."""
STALE_DAYS = 3
AFTER_DAYS = 2
"""Damage noticed so soon after the last day is counted with the event."""


@dataclass(frozen=True)
class Said:
    """A forecast that was shown before the event; `days` it was made ahead."""

    days: int
    p: float
    low: float
    high: float


@dataclass(frozen=True)
class Came:
    """What the athlete told of the days of the event. None: not shared, or nothing told."""

    limited: bool | None
    damage: tuple[tuple[str, str, date], ...] | None  # (site, kind, day)


@dataclass(frozen=True)
class ReviewRow:
    code: str
    name: str
    shared: frozenset[str]
    said: Mapping[int, Said]  # by horizon
    came: Came
    missed: tuple[Deadline, ...]


@dataclass(frozen=True)
class Review:
    """`as_of` is the last day of the event."""

    event: EventFacts
    over: bool
    rows: tuple[ReviewRow, ...]


def review(viewer: Viewer, event_code: str) -> Review:
    """An event that has begun. Raises NotFound as the event page does, and for one that is still to come."""
    if not (viewer.operator or viewer.roles() & COACHING):
        raise NotFound
    found = queries_events.entered(viewer, event_code)
    if not found or found[0].event.first_day > viewer.today:
        raise NotFound
    event = found[0].event
    refs = [entered.athlete for entered in found[0].entries if entered.status != "withdrawn"]
    ids = [ref.id for ref in refs]
    kept = [row for row in kept_of(ids, event.first_day) if row.event_id == event.id and not row.afterwards]
    before = conclude.concluded(ids, event.first_day - timedelta(days=1))
    after = conclude.concluded(ids, min(viewer.today, event.last_day + timedelta(days=AFTER_DAYS)))
    rows = tuple(
        ReviewRow(
            ref.code, ref.name, ref.shared, _said([row for row in kept if row.athlete_id == ref.id], event),
            _came(after[ref.id].facts, ref, event), tuple(_missed(before[ref.id].conclusion.entries, ref, event)),
        )
        for ref in refs
        if ref.id in before and ref.id in after
    )  # fmt: skip
    return Review(event, event.last_day < viewer.today, rows)


def _said(kept: Sequence[KeptRow], event: EventFacts) -> dict[int, Said]:
    found = {}
    for days in HORIZONS:
        by = event.first_day - timedelta(days=days)
        made = [row for row in kept if by - timedelta(days=STALE_DAYS) <= row.made_on <= by]
        if made:
            row = max(made, key=lambda one: one.made_on)
            found[days] = Said((event.first_day - row.made_on).days, row.p, row.low, row.high)
    return found


def _came(facts: AthleteFacts, ref: AthleteRef, event: EventFacts) -> Came:
    """One day on which skin limited makes it a yes, as one bad day is what an event is forecast for."""
    told = [
        one.skin_limited
        for one in facts.sessions
        if not one.planned and one.skin_limited is not None and event.first_day <= one.day <= event.last_day
    ]
    until = event.last_day + timedelta(days=AFTER_DAYS)
    hurt = tuple((e.site, e.kind, e.noticed_on) for e in facts.episodes if event.first_day <= e.noticed_on <= until)
    return Came(
        any(told) if told and "checkins" in ref.shared else None, hurt if "damage" in ref.shared else None
    )  # fmt: skip


def _missed(entries: Iterable[object], ref: AthleteRef, event: EventFacts) -> Iterable[Deadline]:
    for entry in entries:
        if getattr(entry, "event_id", None) == event.code:
            for deadline in getattr(entry, "deadlines", ()):
                if deadline.state == "missed" and deadline_class(deadline.kind) in ref.shared:
                    yield deadline
