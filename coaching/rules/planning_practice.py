"""What an athlete does in practice of what is planned: the share of planned care and rest that is really done."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from coaching.rules.facts import AthleteFacts

LOOK_BACK_DAYS = 42
PRIOR_ROWS = 4
"""The usual share weighs as much as so many logged rows (judgement)."""
VERBS = ("dry", "soften", "even", "rest")


def shares(facts: AthleteFacts, as_of: date, usual_frac: float) -> Mapping[str, float]:
    """Share done by verb, 0-1: rows done of rows done or skipped, drawn towards the usual share while they are few.

    Rest counts by days: a planned day of rest on which a session was logged was not kept.
    """
    since = as_of - timedelta(days=LOOK_BACK_DAYS)
    rows = [row for row in facts.care if since <= row.day <= as_of]
    climbed = {one.day for one in facts.sessions if not one.planned and (one.minutes or 0) > 0}
    found = {}
    for verb in VERBS:
        done = sum(row.verb == verb and row.status == "done" for row in rows)
        left = sum(row.verb == verb and row.status == "skipped" for row in rows)
        if verb == "rest":
            rest = {row.day for row in rows if row.form == "rest day" and row.status == "planned"}
            done, left = len(rest - climbed), len(rest & climbed)
        found[verb] = (done + PRIOR_ROWS * usual_frac) / (done + left + PRIOR_ROWS)
    return found
