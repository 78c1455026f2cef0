"""Store care: what was done or skipped comes from the athlete, what is planned from the team.

Care that a hard rule forbids this athlete (medical, allergy, age, open skin) is not taken as a plan.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from math import nan
from typing import Any

from django.utils.translation import gettext

from athletes.records import histories, writes
from athletes.records.access import AthleteRef
from athletes.records.access_writing import NOBODY, TEAM, athlete_to_write
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.rules import hardstops, rulebook
from coaching.rules.case import Case
from coaching.rules.facts import CareFact
from coaching.rules.numbers import AthleteNumbers
from coaching.usecases import clock
from coaching.usecases.storing import not_to_come, storing
from coaching.usecases.told import Told

UNKNOWN = AthleteNumbers(nan, nan, nan, nan, nan, nan, nan, 0, None, nan, None)
"""Hard rules go by facts alone."""


def record_care(
    viewer: Viewer,
    athlete_code: str,
    values: Mapping[str, Any],
    now: datetime | None = None,
    last_day: date | None = None,
) -> Told:
    """`values` are the columns of care.csv; `last_day` is the last that has begun where the athlete is, if not at home.
    Raises NotFound for whoever may not, and BadInput.
    """
    at = now or clock.now()
    athlete = may(viewer, athlete_code, values)
    if values["status"] == "done":
        not_to_come("local_date", values["local_date"], athlete, at, last_day)
    with storing([athlete.id], at):
        key = writes.store_care(athlete_id=athlete.id, values=values)
        if values["status"] == "planned":
            _refuse(athlete, values, at)
    return Told(athlete, key)


def may(viewer: Viewer, athlete_code: str, values: Mapping[str, Any]) -> AthleteRef:
    """The athlete. Raises NotFound for whoever may not."""
    planned = values["status"] == "planned"
    return athlete_to_write(viewer, athlete_code, "checkins", TEAM if planned else NOBODY, own=not planned)


def caution(form: str) -> tuple[str, str]:
    """The rulebook's caution for a form of care, and its source; empty where the rulebook has no such form."""
    rule = rulebook.current().form(form)
    return (rule.caution, rule.source) if rule else ("", "")


def _refuse(athlete: AthleteRef, values: Mapping[str, Any], at: datetime) -> None:
    """Raises BadInput where a hard rule forbids it. Which rule is not said: the cause may be nobody's to know."""
    today, book = clock.local_day(at, athlete.timezone), rulebook.current()
    rule = book.form(values["form"])
    case = Case(histories.facts([athlete.id], today)[athlete.id], UNKNOWN, today, book)
    sites = tuple(values.get("sites") or ())
    row = CareFact(values["local_date"], "planned", values["verb"], values["form"], sites=sites)
    if rule and any(hardstops.broken(case, row, rule)):
        raise BadInput("form", gettext("is refused for this athlete by a rule that nobody overrules"), values["form"])
