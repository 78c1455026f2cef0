"""A coach or a medical person overrules a pause for one form on one day, with a note. Hard stops nobody overrules."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.utils.translation import gettext

from athletes.records import queries_rules, writes_rules
from athletes.records.access import AthleteRef
from athletes.records.access_writing import TEAM, athlete_to_write
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.showing import show
from coaching.usecases.storing import storing
from coaching.usecases.told import Told


def overrule_pause(viewer: Viewer, athlete_code: str, given: Mapping[str, Any], now: datetime | None = None) -> Told:
    """`given` are form, day and note. Raises NotFound for whoever may not, BadInput for an empty note, for what is not
    refused then, and for a row that a hard stop forbids.
    """
    at = now or clock.now()
    athlete = may(viewer, athlete_code)
    note = given["note"].strip()
    if not note:
        raise BadInput("note", gettext("must be said: it is printed beside the step"), given["note"])
    classes = _paused(viewer, athlete, given)
    with storing([athlete.id], at):
        for class_ in classes:
            key = writes_rules.store_overruled(
                athlete_id=athlete.id, form=given["form"], refusal_class=class_, local_date=given["day"], note=note,
                given_on=clock.local_day(at, athlete.timezone), made_at=at, by_id=viewer.account_id,
                by_name=queries_rules.name_of(viewer),
            )  # fmt: skip
    return Told(athlete, key)


def may(viewer: Viewer, athlete_code: str) -> AthleteRef:
    """The athlete. Raises NotFound for whoever may not plan care of theirs."""
    return athlete_to_write(viewer, athlete_code, "checkins", TEAM, own=False)


def _paused(viewer: Viewer, athlete: AthleteRef, given: Mapping[str, Any]) -> list[str]:
    """Classes of the pauses that stand, as far as the viewer is shown them. A hard stop beside them closes the door."""
    rows = [one for one in show(viewer, [athlete])[0].refused if (one.form, one.date) == (given["form"], given["day"])]
    if not rows:
        raise BadInput("form", gettext("is not refused on that day"), given["form"])
    if any(one.hard for one in rows):
        raise BadInput("form", gettext("is refused by a rule that nobody overrules"), given["form"])
    return [one.class_ for one in rows]
