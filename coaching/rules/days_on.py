"""Days of climbing in a row on rock that wears skin: after so many a day without load is due, at home and on a trip.

Common practice, no source: two days on and one off on rough rock, up to three on finer rock; plastic that is not
fresh and wood are spared. How many is the rulebook's, under `rest day`, and a club's to change.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from coaching.rules.case import Case
from coaching.rules.conclusions import Limit

ROUGH = frozenset({"sharp rock", "fresh plastic", "ordinary rock"})
FINER = frozenset({"fine rock"})
EASY_MINUTES = 30
"""A short test is no day on (judgement)."""
BACK_DAYS = 7
AHEAD_DAYS = 28
FORM = "rest day"


def rests(case: Case, limits: Mapping[date, Limit]) -> dict[date, Limit]:
    """A day without load for each planned session that would be one too many in a row. Days of a competition are
    climbed, and what other limits have cut counts as they have left it.
    """
    rule = case.book.forms[FORM]
    planned, found = _surfaces(case, planned=True), {}
    done = _surfaces(case, planned=False)
    run = 0
    for n in range(-BACK_DAYS, AHEAD_DAYS):
        day = case.as_of + timedelta(days=n)
        surfaces = (done if n <= 0 else planned).get(day, frozenset())
        if n > 0 and day in limits and _easy(limits[day]):
            surfaces = frozenset()
        if not surfaces:
            run = 0
            continue
        most = rule.days_on[0] if surfaces & ROUGH else rule.days_on[1]
        if n > 0 and run >= most and not case.competes_on(day):
            found[day] = Limit(day, None, 0, 0, rule=rule.rule)
            run = 0
        else:
            run += 1
    return found


def _surfaces(case: Case, planned: bool) -> dict[date, frozenset[str]]:
    """Surfaces that wear skin, by day; what easy sessions are on is left out."""
    found: dict[date, frozenset[str]] = {}
    for one in case.facts.sessions:
        surface = one.surface or ""
        if one.planned is planned and (one.minutes or 0) > EASY_MINUTES and surface in ROUGH | FINER:
            found[one.day] = found.get(one.day, frozenset()) | {surface}
    return found


def _easy(limit: Limit) -> bool:
    """A limit that leaves no day on: no load, a kind surface, or a short test."""
    if limit.surface is None or limit.surface not in ROUGH | FINER:
        return True
    return limit.minutes is not None and limit.minutes <= EASY_MINUTES
