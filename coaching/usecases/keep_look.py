"""A look at damage that a phone kept until there was a signal: what was seen that day, and a picture of it."""

from __future__ import annotations

from datetime import date, datetime

from django.utils.translation import gettext

from athletes.records import access
from athletes.records.errors import BadInput, NotFound
from athletes.records.photos import keeping
from athletes.records.photos.cleaning import Clean
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.answers import CheckInAnswers
from coaching.usecases.record_checkin import check_day, record_checkin, store_look
from coaching.usecases.storing import storing


def keep_looks(
    viewer: Viewer, code: str, whole: CheckInAnswers, last_day: date, now: datetime | None = None
) -> bool:
    """Store what a day's entries come to; True where that corrected what stood. Looks alone do not make a check-in of
    that day: nobody has said how the skin is. Raises NotFound and BadInput.
    """
    at = now or clock.now()
    if whole != CheckInAnswers(whole.day, looks=whole.looks):
        return record_checkin(viewer, code, whole, at, last_day).corrected
    athlete = access.athlete_to_check_in(viewer, code)
    check_day(whole.day, last_day)
    with storing([athlete.id], at):
        return any([store_look(athlete.id, whole.day, look, viewer.account_id, at) for look in whole.looks])


def keep_photo(viewer: Viewer, code: str, episode_id: str, day: date, photo: Clean) -> None:
    """Raises NotFound for whoever may not answer for the athlete, BadInput, and `keeping.TooMany`."""
    athlete, at = access.athlete_to_check_in(viewer, code), clock.now()
    with storing([athlete.id], at):
        try:
            keeping.store(athlete.id, episode_id, day, photo, at)
        except NotFound:
            raise BadInput("episode_id", gettext("is not damage of this athlete"), episode_id) from None
