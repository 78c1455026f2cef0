"""Cut conclusions to the classes of data that are shared with the viewer. What is not shared leaves no trace."""

from __future__ import annotations

from dataclasses import replace

from athletes.records.viewer import Viewer
from coaching.rules.conclusions import Deadline, Reason, Refusal, Today
from coaching.usecases.shown import AthleteShown, EntryShown, PictureShown

DAMAGE_REASONS = frozenset({"split", "tear"})
LEVEL_REASONS = frozenset({"medical", "silence", "deadline", "clash"})
DAMAGE_DEADLINES = frozenset({"look", "taped-try"})
LEVEL_DEADLINES = frozenset({"entry", "medical-signoff"})
CLOSED_CLASSES = frozenset({"allergy", "medical"})
"""Refusals whose cause is for the athlete, the guardian and the medical role only."""


def reason_class(code: str) -> str:
    """The class of data that a reason of this code lets on."""
    if code in LEVEL_REASONS:
        return "level"
    return "damage" if code in DAMAGE_REASONS else "checkins"


def deadline_class(kind: str) -> str:
    """The class of data that a deadline of this kind lets on."""
    if kind in LEVEL_DEADLINES:
        return "level"
    return "damage" if kind in DAMAGE_DEADLINES else "checkins"


def cut(shown: AthleteShown, viewer: Viewer, athlete_id: int) -> AthleteShown:
    """The part of `shown` that its `shared` classes allow this viewer."""
    shared = shown.shared
    open_causes = _open_causes(viewer, athlete_id)
    return replace(
        shown,
        today=shown.today if "damage" in shared else Today(shown.today.may_climb),
        entries=tuple(_entry(entry, shared, open_causes) for entry in shown.entries),
        limits=shown.limits if "damage" in shared else (),
        steps=shown.steps if {"damage", "checkins"} <= shared else (),
        refused=tuple(_refusal(r, open_causes) for r in shown.refused) if "checkins" in shared else (),
        picture=_picture(shown.picture, shared),
    )


def _open_causes(viewer: Viewer, athlete_id: int) -> bool:
    return viewer.operator or any(
        g.role == "medical" or (g.role in ("athlete", "guardian") and g.athlete_id == athlete_id)
        for g in viewer.grants
    )


def _entry(entry: EntryShown, shared: frozenset[str], open_causes: bool) -> EntryShown:
    return replace(
        entry,
        reasons=tuple(_reason(r, shared, open_causes) for r in entry.reasons if reason_class(r.code) in shared),
        deadlines=tuple(_deadline(d, shared) for d in entry.deadlines if deadline_class(d.kind) in shared),
        parts=entry.parts if "checkins" in shared else {},
        episode_parts=entry.episode_parts if "damage" in shared else {},
        p_usual=entry.p_usual if "checkins" in shared else None,
    )


def _reason(reason: Reason, shared: frozenset[str], open_causes: bool) -> Reason:
    """Without damage no site; without check-ins no numbers, which repeat answers; a closed cause is only "medical"."""
    if "damage" not in shared:
        reason = replace(reason, site=None)
    if "checkins" not in shared:
        return replace(reason, numbers={})
    if not open_causes and reason.numbers.get("class") in CLOSED_CLASSES:
        return replace(reason, numbers={**reason.numbers, "class": "medical"})
    return reason


def _deadline(deadline: Deadline, shared: frozenset[str]) -> Deadline:
    return deadline if "damage" in shared else replace(deadline, site=None)


def _refusal(refusal: Refusal, open_causes: bool) -> Refusal:
    if open_causes or refusal.class_ not in CLOSED_CLASSES:
        return refusal
    return replace(refusal, class_="medical", rule="")


def _picture(picture: PictureShown | None, shared: frozenset[str]) -> PictureShown | None:
    if picture is None:
        return None
    if "damage" not in shared:
        picture = replace(picture, damage=(), marks=())
    if "checkins" in shared:
        return picture
    return PictureShown(picture.first_day, damage=picture.damage, marks=picture.marks, events=picture.events)
