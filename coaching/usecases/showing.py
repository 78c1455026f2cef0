"""From the ledger to what a viewer is shown, in a fixed number of queries for any number of athletes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from athletes.records.access import AthleteRef
from athletes.records.viewer import Viewer
from coaching.ledger import reading, staleness
from coaching.ledger.codec import frozen
from coaching.ledger.models import Conclusion, EntryConclusion
from coaching.rules.conclusions import AthleteConclusion, Today
from coaching.usecases.cutting import cut
from coaching.usecases.shown import AthleteShown, EntryShown, PictureShown

NOTHING = Today("not-known")


def show(viewer: Viewer, athletes: Sequence[AthleteRef]) -> list[AthleteShown]:
    """What this viewer may see of each athlete, in the order given. The athletes themselves were found by the door."""
    ids = [ref.id for ref in athletes]
    shared = {ref.id: ref.shared for ref in athletes}
    concluded = reading.latest(ids)
    entries = reading.entries_of(concluded)
    stale = staleness.stale_of(ids)
    return [
        cut(
            _athlete(ref, shared[ref.id], concluded.get(ref.id), entries.get(ref.id), ref.id in stale, viewer.today),
            viewer,
            ref.id,
        )
        for ref in athletes
    ]


def _athlete(
    ref: AthleteRef,
    shared: frozenset[str],
    row: Conclusion | None,
    entries: reading.Entries | None,
    stale: bool,
    today: date,
) -> AthleteShown:
    if row is None:
        return AthleteShown(
            ref.code, ref.name, shared, today, None, True, None, "none", NOTHING, (), minor=ref.minor
        )
    body = frozen(row.body, AthleteConclusion)
    return AthleteShown(
        code=ref.code,
        name=ref.name,
        shared=shared,
        as_of=row.as_of,
        computed_at=row.computed_at,
        stale=stale,
        known_until=row.known_until,
        medical=row.medical,
        today=body.today,
        entries=tuple(_entry(e, entries.before.get(e.event_id)) for e in entries.now) if entries else (),
        limits=body.limits,
        steps=body.steps,
        refused=body.refused,
        picture=frozen(row.picture, PictureShown),
        minor=ref.minor,
        model=row.model,
        rulebook=row.rulebook,
    )


def _entry(row: EntryConclusion, before: EntryConclusion | None) -> EntryShown:
    shown = frozen(row.body, EntryShown)
    if before is None:
        return shown
    known = before.level != "not-known"
    return replace(shown, level_before=before.level, p_before=before.p if known else None)
