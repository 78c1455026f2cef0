"""Store one morning's answers and mark the athlete for a new computation, in one transaction."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.translation import gettext

from athletes.records import access, writes
from athletes.records.errors import BadInput, NotFound
from athletes.records.inserting import Statement
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.answers import CheckInAnswers, NewLook
from coaching.usecases.storing import storing_with_mark

LATE_DAYS = 30
"""A phone may have been without signal for weeks; older days are corrected by a coach, not sent as a check-in."""
RATED = ("reserve", "dampness", "hardness", "sting", "pull_pain")


@dataclass(frozen=True)
class StoredCheckIn:
    day: date
    corrected: bool
    athlete_id: int | None = None


def record_checkin(
    viewer: Viewer,
    athlete_code: str,
    answers: CheckInAnswers,
    now: datetime | None = None,
    last_day: date | None = None,
) -> StoredCheckIn:
    """Store the answers of the athlete or the ward. `last_day` is the last that has begun where they are, if not at
    home.

    Raises NotFound where the viewer may not check in for that athlete, and BadInput naming the field otherwise; then
    nothing at all is stored.
    """
    at = now or clock.now()
    athlete_id = checked(viewer, athlete_code, answers, at, last_day)
    with storing_with_mark(athlete_id, at) as mark:
        corrected = _store(viewer, athlete_id, answers, at, mark)
    return StoredCheckIn(answers.day, corrected, athlete_id)


def checked(
    viewer: Viewer, athlete_code: str, answers: CheckInAnswers, at: datetime, last_day: date | None = None
) -> int:
    """The key of the athlete whose answers they are, where the door and the day let them through; raises as above."""
    athlete = access.athlete_to_check_in(viewer, athlete_code)
    _check_said(answers)
    check_day(answers.day, last_day or clock.local_day(at, athlete.timezone))
    return athlete.id


def _check_said(answers: CheckInAnswers) -> None:
    """Without any answer there is nothing to store, and a day must not count as answered."""
    asked = (*RATED, "agent_used", "marks", "red_flags")
    told = answers.note.strip() or answers.new_damage or answers.looks
    if not told and all(getattr(answers, name) is None for name in asked):
        raise BadInput("reserve", gettext("nothing is answered yet"), None, gettext("one answer is enough"))


def check_day(day: date, today: date) -> None:
    """Raises BadInput for a day that has not begun or is too long ago, given the last that has begun."""
    if day > today:
        raise BadInput("local_date", gettext("is still to come"), day)
    if day < today - timedelta(days=LATE_DAYS):
        raise BadInput("local_date", gettext("is too long ago to be answered now"), day)


def _store(viewer: Viewer, athlete_id: int, answers: CheckInAnswers, at: datetime, mark: Statement) -> bool:
    by, values = viewer.account_id, writes.checkin_values(answers)
    corrected = writes.store_checkin(athlete_id=athlete_id, answers=values, made_at=at, by=by, first=mark)
    for damage in answers.new_damage:
        writes.open_damage(
            athlete_id=athlete_id, site=damage.site, kind=damage.kind, depth=damage.depth, noticed_on=answers.day
        )
    for look in answers.looks:
        store_look(athlete_id, answers.day, look, by)
    return corrected


def store_look(
    athlete_id: int, day: date, look: NewLook, by: int | None, made_at: datetime | None = None
) -> bool:
    """True where it corrected the look of that day, at `made_at`, or when the day's check-in was made. Call it within
    `storing`.

    An episode that is not this athlete's is a bad answer, not a missing page: what was typed must not be lost.
    """
    seen = {"stage": look.stage, "pain": look.pain, "opens_on_pull": look.opens_on_pull, "bled": look.bled}
    try:
        return writes.add_look(
            athlete_id=athlete_id, episode_code=look.episode_id, local_date=day, made_at=made_at, by=by, **seen
        )
    except NotFound:
        raise BadInput("episode_id", gettext("is not damage of this athlete"), look.episode_id) from None
