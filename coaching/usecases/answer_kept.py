"""An answer to a decision that was read a while ago: it counts only where the decision still stands as it was read."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.utils.translation import gettext

from athletes.records import queries_entered
from athletes.records.errors import BadInput
from athletes.records.queries_entered import Answered
from athletes.records.viewer import Viewer
from coaching.rules.conclusions import Deadline
from coaching.usecases.answer_decision import WAITING, about, answer_decision, may
from coaching.usecases.showing import show
from coaching.usecases.told import Told


def answer_kept(viewer: Viewer, athlete_code: str, given: Mapping[str, Any], now: datetime | None = None) -> Told:
    """As `answer_decision`, with `about` naming the facts that were asked about. Raises BadInput for `about` where
    somebody has answered it since, or where what is asked is another thing by now.
    """
    athlete = may(viewer, athlete_code)
    named = (given["event_id"], given["kind"], given["site"] or "")
    before = reversed(queries_entered.answered([athlete])[athlete.id])
    same = next((a for a in before if (a.event_id, a.kind, a.site, a.about) == (*named, given["about"])), None)
    if same is not None:
        raise BadInput("about", _answered(same), given["about"])
    waits = [
        deadline
        for entry in show(viewer, [athlete])[0].entries
        if entry.event.code == given["event_id"]
        for deadline in entry.deadlines
        if (deadline.kind, deadline.site or "") == named[1:] and deadline.state in WAITING
    ]
    if waits and given["about"] not in map(about, waits):
        raise BadInput("about", _moved(waits[0]), given["about"])
    return answer_decision(viewer, athlete_code, given, now)


def _answered(one: Answered) -> str:
    said = {
        "accept": gettext("somebody has accepted it since; your answer was not stored"),
        "change": gettext("somebody has changed it since; your answer was not stored"),
        "decline": gettext("somebody has declined it since; your answer was not stored"),
    }
    return said[one.answer]


def _moved(one: Deadline) -> str:
    """What is asked by now, so that whoever answered can judge anew."""
    return gettext("has changed since you read it: its last day is now %(day)s; your answer was not stored") % {
        "day": one.latest.isoformat()
    }
