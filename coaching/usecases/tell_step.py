"""One tap on today's list: a step was done, or was not; and taking that back on the same day.

What is done of what was planned is what the planner counts on later, so a tap that was wrong must not stay.
"""

from __future__ import annotations

from datetime import date, datetime

from django.utils.translation import gettext

from athletes.records import access, care_told, queries
from athletes.records.access import AthleteRef
from athletes.records.access_writing import athlete_to_write
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.rules.conclusions import Step
from coaching.usecases import clock
from coaching.usecases.record_care import record_care
from coaching.usecases.showing import show
from coaching.usecases.storing import storing


def tell_step(viewer: Viewer, code: str | None, key: str, status: str, now: datetime | None = None) -> None:
    """Store one step of today as done or skipped. Raises NotFound for whoever may not, and BadInput for a step that is
    not on today's list any more.
    """
    at = now or clock.now()
    athlete, day = _today(viewer, code, at)
    if status not in care_told.TOLD:
        raise BadInput("status", gettext("must be done or skipped"), status)
    step = next((s for s in show(viewer, [athlete])[0].steps if s.date == day and step_key(s) == key), None)
    if step is None:
        raise BadInput("step", gettext("is not on today’s list any more"), key)
    if any(told_key(one) == key for one in care_told.told_on(athlete.id, day)):
        return  # told already: a second tap tells nothing new
    values = {"local_date": day, "status": status, "verb": step.verb, "form": step.form, "part": step.part}
    record_care(viewer, athlete.code, values | {"sites": list(step.sites)}, at)


def take_back(viewer: Viewer, code: str | None, care_id: int, now: datetime | None = None) -> None:
    """Undo what was told of today. Raises NotFound for whoever may not, or where nothing of that number was told."""
    at = now or clock.now()
    athlete, day = _today(viewer, code, at)
    with storing([athlete.id], at):
        care_told.take_back(athlete, care_id, day, made_at=at, by=viewer.account_id)


def step_key(step: Step) -> str:
    """Names a step of one day in a form."""
    return "|".join((step.part, step.form, ";".join(step.sites)))


def told_key(one: care_told.CareTold) -> str:
    return "|".join((one.part, one.form, ";".join(one.sites)))


def _today(viewer: Viewer, code: str | None, at: datetime) -> tuple[AthleteRef, date]:
    own = access.athlete_to_check_in(viewer, code)
    athlete = athlete_to_write(viewer, own.code, "checkins")
    return athlete, clock.local_day(at, queries.zones_of([athlete.id])[athlete.id])
