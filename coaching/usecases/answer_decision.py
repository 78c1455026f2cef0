"""A coach answers one decision that waits: accept, change, or decline and say why."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.utils.translation import gettext

from athletes.records import queries, writes_team
from athletes.records.access import AthleteRef
from athletes.records.access_writing import COACHES, athlete_to_write
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.rules.conclusions import Deadline
from coaching.usecases import clock
from coaching.usecases.showing import show
from coaching.usecases.shown import EntryShown
from coaching.usecases.storing import storing
from coaching.usecases.told import Told

WAITING = frozenset({"open", "due"})


def answer_decision(viewer: Viewer, athlete_code: str, given: Mapping[str, Any], now: datetime | None = None) -> Told:
    """`given` are event_id, kind, site, answer and why. Raises NotFound for whoever is no coach of the athlete, and
    BadInput for a decision that does not wait, as far as the viewer is shown it.
    """
    at = now or clock.now()
    athlete = may(viewer, athlete_code)
    if given["answer"] != "accept" and not given["why"].strip():
        raise BadInput("why", gettext("must be said where the answer is not to accept"), given["why"])
    asked = _check_waits(viewer, athlete, given)
    with storing([athlete.id], at):
        key = writes_team.store_decision(
            athlete_id=athlete.id,
            event_id=queries.event_ids([given["event_id"]])[given["event_id"]],
            kind=given["kind"],
            site=given["site"] or "",
            answer=given["answer"],
            why=given["why"],
            about=about(asked),
            made_at=at,
            by_id=viewer.account_id,
        )
    return Told(athlete, key)


def may(viewer: Viewer, athlete_code: str) -> AthleteRef:
    """The athlete. Raises NotFound for whoever may not."""
    return athlete_to_write(viewer, athlete_code, "level", COACHES, own=False)


def about(asked: Deadline) -> str:
    """The facts of a deadline that are asked about: once its form or its last day moves, it is asked again."""
    return f"{asked.latest.isoformat()} {asked.form or ''}".strip()


def _check_waits(viewer: Viewer, athlete: AthleteRef, given: Mapping[str, Any]) -> Deadline:
    entries: tuple[EntryShown, ...] = show(viewer, [athlete])[0].entries
    entry = next((e for e in entries if e.event.code == given["event_id"]), None)
    if entry is None:
        raise BadInput("event_id", gettext("is no event in which this athlete is concluded"), given["event_id"])
    of_kind = [d for d in entry.deadlines if d.kind == given["kind"] and d.state in WAITING]
    if not of_kind:
        raise BadInput("kind", gettext("is not waiting"), given["kind"])
    at_site = [d for d in of_kind if d.site == given["site"]]
    if not at_site:
        raise BadInput("site", gettext("is not where that is waiting"), given["site"])
    named = [d for d in at_site if about(d) == given.get("about")]
    return (named or at_site)[0]
