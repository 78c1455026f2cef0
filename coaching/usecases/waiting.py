"""Decisions that wait for a coach: each with its date, its options and what they cost; answered ones are left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from athletes.records import access, queries_entered
from athletes.records.access import AthleteRef
from athletes.records.access_writing import COACHES, only
from athletes.records.queries_entered import Answered
from athletes.records.viewer import Viewer
from coaching.rules.conclusions import Deadline, Fallback
from coaching.usecases.answer_decision import WAITING, about
from coaching.usecases.plan_care import NEEDS_PLAN, PLAN, about_plan
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown, EntryShown

AHEAD_DAYS = 3
"""An open deadline of an entry that needs something is asked about three days ahead; of others only once due."""
PLAN_STANDS_DAYS = 3
"""A plan that was taken up is not asked about again for so long (judgement)."""


@dataclass(frozen=True)
class Waiting:
    """One decision. A plan has no deadline of its own and carries the fallbacks that are left without it."""

    athlete: AthleteShown
    entry: EntryShown
    kind: str
    by: date
    about: str
    deadline: Deadline | None = None
    fallbacks: tuple[Fallback, ...] = ()

    @property
    def site(self) -> str:
        return (self.deadline.site or "") if self.deadline else ""

    @property
    def key(self) -> str:
        """Names the decision on a page and in a form."""
        return "|".join((self.athlete.code, self.entry.event.code, self.kind, self.site, self.about))


def waiting(viewer: Viewer) -> tuple[Waiting, ...]:
    """Every decision that waits for this viewer as a coach, the nearest first; none for whoever coaches nobody."""
    refs = access.refs_visible(only(viewer, COACHES))
    own = {grant.athlete_id for grant in viewer.grants if grant.athlete_id is not None}
    refs = [ref for ref in refs if ref.id not in own]
    return of_athletes(viewer, refs, show(viewer, refs, course=False))


def waiting_of(viewer: Viewer, code: str, shown: AthleteShown) -> tuple[Waiting, ...]:
    """The decisions that wait for this viewer about one athlete who was shown to them."""
    try:
        ref = access.athlete_by_code(only(viewer, COACHES), code)
    except access.NotFound:
        return ()
    return of_athletes(viewer, [ref], [shown])


def of_athletes(viewer: Viewer, refs: Sequence[AthleteRef], shown: Sequence[AthleteShown]) -> tuple[Waiting, ...]:
    answered = queries_entered.answered(refs)
    found = [one for ref, row in zip(refs, shown, strict=True) for one in _of(row, answered[ref.id])]
    found.sort(key=lambda one: (one.by, one.athlete.name, one.entry.event.first_day, one.kind != PLAN, one.kind))
    return tuple(found)


def _of(row: AthleteShown, answered: Sequence[Answered]) -> Iterator[Waiting]:
    return (one for one in asked_of(row) if not any(_settles(old, one) for old in answered))


def asked_of(row: AthleteShown) -> Iterator[Waiting]:
    """What there is to decide about one athlete, whether or not somebody has answered already."""
    plans = [one for entry in row.entries for one in _plan(row, entry)]
    yield from plans[:1]
    for entry in row.entries:
        yield from _deadlines(row, entry)


def _settles(old: Answered, one: Waiting) -> bool:
    """Whether an answer still holds: as long as the facts asked about stay. What was taken up of a plan moves them
    itself; it stands for some days before the next plan is offered.
    """
    if (old.event_id, old.kind, old.site) != (one.entry.event.code, one.kind, one.site):
        return False
    if old.about == one.about:
        return True
    age_days = (one.athlete.as_of - old.made_at.date()).days
    return one.kind == PLAN and old.answer != "decline" and age_days < PLAN_STANDS_DAYS


def _plan(row: AthleteShown, entry: EntryShown) -> Iterator[Waiting]:
    """A plan is offered where the entry needs one and its care is shared; one plan serves all events of an athlete."""
    shared = {"checkins", "damage"} <= row.shared
    if shared and entry.level in NEEDS_PLAN and entry.event.first_day > row.as_of:
        near = [d.latest for d in entry.deadlines if d.state in WAITING]
        by = max(row.as_of, min([*near, entry.event.first_day - timedelta(days=1)]))
        yield Waiting(row, entry, PLAN, by, about_plan(entry), fallbacks=entry.fallbacks)


def _deadlines(row: AthleteShown, entry: EntryShown) -> Iterator[Waiting]:
    for one in entry.deadlines:
        near = entry.level in NEEDS_PLAN and (one.latest - row.as_of).days <= AHEAD_DAYS
        if one.state == "due" or (one.state in WAITING and near):
            yield Waiting(row, entry, one.kind, one.latest, about(one), one, entry.fallbacks)
