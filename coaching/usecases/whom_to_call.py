"""The card for an emergency: whom to call, as the athlete or a minor's guardian wrote it down."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import timedelta

from django.db import transaction
from django.utils.translation import gettext

from athletes.records import access, calls, queries_calendar
from athletes.records.access import AthleteRef
from athletes.records.calls import Line
from athletes.records.emergency import Emergency, emergency_in
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.usecases import clock

MOST = 6
AHEAD = timedelta(days=14)
NUMBER = re.compile(r"\+?[0-9][0-9 ()/.-]{1,38}", re.ASCII)


def whom_to_call(viewer: Viewer, code: str | None) -> tuple[AthleteRef, list[Line]]:
    """The athlete and their lines. Raises NotFound for whoever may not answer for them."""
    athlete = access.athlete_to_check_in(viewer, code)
    return athlete, calls.of(athlete)


def emergencies(athlete: AthleteRef) -> list[Emergency]:
    """The number to call at home, and where an event of theirs is on or begins within a fortnight; each country once,
    the nearest in time first.
    """
    today = clock.local_day(clock.now(), athlete.timezone)
    away = queries_calendar.events_of([athlete.id], today, today + AHEAD)
    zones = [*(event.timezone for event in away), athlete.timezone]
    found = [one for zone in zones if (one := emergency_in(zone)) is not None]
    return list({one.code: one for one in found}.values())


def write_down(viewer: Viewer, code: str | None, lines: Sequence[Line]) -> None:
    """Keep these lines and no others; empty ones are left out. Raises NotFound, and BadInput for a line that nobody
    could call.
    """
    athlete = access.athlete_to_check_in(viewer, code)
    told = [(name.strip(), number.strip()) for name, number in lines if name.strip() or number.strip()][:MOST]
    for name, number in told:
        if not NUMBER.fullmatch(number):
            raise BadInput("number", gettext("is no number that can be dialled"), number, "+43 1 234567")
        if not 0 < len(name) <= 80:
            raise BadInput("name", gettext("must say who it is, in at most 80 letters"), name)
    with transaction.atomic():
        calls.put(athlete, told)
