"""One tap on today's list: a step was done, or was not; and taking that back on the same day.

What is done of what was planned is what the planner counts on later, so a tap that was wrong must not stay.
"""

from __future__ import annotations

from dataclasses import dataclass
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
from coaching.usecases.record_checkin import check_day
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
    if any(one.key == key for one in care_told.told_on(athlete.id, day)):
        return  # told already: a second tap tells nothing new
    values = {"local_date": day, "status": status, "verb": step.verb, "form": step.form, "part": step.part}
    record_care(viewer, athlete.code, values | {"sites": list(step.sites)}, at)


def take_back(viewer: Viewer, code: str | None, care_id: int, now: datetime | None = None) -> None:
    """Undo what was told of today. Raises NotFound for whoever may not, or where nothing of that number was told."""
    at = now or clock.now()
    athlete, day = _today(viewer, code, at)
    with storing([athlete.id], at):
        care_told.take_back(athlete, care_id, day, made_at=at, by=viewer.account_id)


@dataclass(frozen=True)
class StepTold:
    """What a phone kept of a step: the step as its list had it, and done, skipped, or none where that was taken back.
    """

    day: date
    verb: str
    form: str
    part: str
    sites: tuple[str, ...]
    status: str

    @property
    def key(self) -> str:
        return care_told.step_key(self.part, self.form, self.sites)


def keep_step(viewer: Viewer, code: str | None, told: StepTold, last_day: date, now: datetime | None = None) -> bool:
    """Let this stand for the step of that day; True where it changed what was told. Whether the step is on a list any
    more is not asked: it was on the list that whoever tells of it had before them. Raises NotFound and BadInput.
    """
    at = now or clock.now()
    athlete, _day = _today(viewer, code, at)
    check_day(told.day, last_day)
    values = {"local_date": told.day, "verb": told.verb, "form": told.form, "part": told.part, "sites": [*told.sites]}
    with storing([athlete.id], at):
        before = [one for one in care_told.told_on(athlete.id, told.day) if one.key == told.key]
        if [one.status for one in before] == [told.status]:
            return False
        for one in before:
            care_told.take_back(athlete, one.id, told.day, made_at=at, by=viewer.account_id)
        if told.status in care_told.TOLD:
            record_care(viewer, athlete.code, values | {"status": told.status}, at, last_day)
    return bool(before)


def step_key(step: Step) -> str:
    """Names a step of one day in a form."""
    return care_told.step_key(step.part, step.form, step.sites)


def _today(viewer: Viewer, code: str | None, at: datetime) -> tuple[AthleteRef, date]:
    own = access.athlete_to_check_in(viewer, code)
    athlete = athlete_to_write(viewer, own.code, "checkins")
    return athlete, clock.local_day(at, queries.zones_of([athlete.id])[athlete.id])
