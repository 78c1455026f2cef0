"""From the ledger to what a viewer is shown, in a fixed number of queries for any number of athletes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from athletes.records.access import AthleteRef
from athletes.records.viewer import Viewer
from coaching.ledger import reading, staleness
from coaching.ledger.codec import CONVERTER, frozen
from coaching.ledger.models import Conclusion, EntryConclusion
from coaching.rules import moved
from coaching.rules.conclusions import AthleteConclusion, Deadline, Today
from coaching.usecases.cutting import cut
from coaching.usecases.shown import AthleteShown, EntryShown, LoadDay, PictureShown

NOTHING = Today("not-known")


def _load_day(data: dict[str, Any], kind: type[LoadDay]) -> LoadDay:
    """By hand, because a list of a thousand athletes holds a hundred thousand of them."""
    done, plan = (None if value is None else float(value) for value in (data["done_slu"], data["plan_slu"]))
    return kind(date.fromisoformat(data["day"]), done, plan)


CONVERTER.register_structure_hook(LoadDay, _load_day)


def show(viewer: Viewer, athletes: Sequence[AthleteRef], *, course: bool = True) -> list[AthleteShown]:
    """What this viewer may see of each athlete, in the order given. The athletes themselves were found by the door.

    Without `course` the pictures hold no course, the longest part of them: a list draws none.
    """
    ids = [ref.id for ref in athletes]
    concluded = reading.latest(ids)
    entries = reading.entries_of(concluded)
    stale = staleness.stale_of(ids)
    found = [
        _athlete(ref, concluded.get(ref.id), entries.get(ref.id), ref.id in stale, viewer.today, course)
        for ref in athletes
    ]
    return [cut(one, viewer, ref.id) for one, ref in zip(found, athletes, strict=True)]


def _athlete(
    ref: AthleteRef,
    row: Conclusion | None,
    entries: reading.Entries | None,
    stale: bool,
    today: date,
    course: bool,
) -> AthleteShown:
    if row is None:
        return AthleteShown(
            ref.code, ref.name, ref.shared, today, None, True, None, "none", NOTHING, (), minor=ref.minor
        )
    body = frozen(row.body, AthleteConclusion)
    return AthleteShown(
        code=ref.code,
        name=ref.name,
        shared=ref.shared,
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
        picture=_picture(row, course),
        minor=ref.minor,
        model=row.model,
        rulebook=row.rulebook,
    )


def _picture(row: Conclusion, course: bool) -> PictureShown:
    return frozen(row.picture, PictureShown) if course else list_picture(row.picture)


def list_picture(stored: dict[str, Any]) -> PictureShown:
    """A stored picture without the course, the longest part of it: a list draws none."""
    return frozen({**stored, "course": ()}, PictureShown)


def _entry(row: EntryConclusion, before: EntryConclusion | None) -> EntryShown:
    shown = frozen(row.body, EntryShown)
    if before is None:
        return shown
    were = frozen(before.body["deadlines"], tuple[Deadline, ...])
    days = (row.first_day, row.last_day) != (before.first_day, before.last_day)
    told = moved.since(shown.deadlines, were, event_moved=days, rules_changed=_other_rules(row, before))
    return since(replace(shown, deadlines=told), before.level, before.p)


def _other_rules(row: EntryConclusion, before: EntryConclusion) -> bool:
    """Whether the rulebook of the day before was another; rows that do not say count as the same."""
    now, then = row.body.get("rulebook"), before.body.get("rulebook")
    return bool(now and then) and now != then


def since(shown: EntryShown, level_before: str, p_before: float) -> EntryShown:
    """The entry with what stood of it the day before; a chance is none where the level was not known."""
    return replace(shown, level_before=level_before, p_before=p_before if level_before != "not-known" else None)
