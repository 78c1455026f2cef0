"""Once a week each squad's past is asked what its members share; conclusions go by the newest answer of their version.

Asked every hour, so that a scheduler that was away or a run that died loses no week: a squad whose row of the week
stands is left alone, and the others are taken up where they were left. One caller an hour does the work.
"""

from __future__ import annotations

import logging
import math
from collections.abc import Sequence
from datetime import date, datetime, timedelta

from django.db import DatabaseError, transaction

from athletes.records import access, histories, queries
from athletes.records.histories_arrays import arrays
from coaching.ledger import fits, periods, staleness
from coaching.ledger.models import SquadFit
from coaching.science import fitting, versions
from coaching.science.model import Model
from coaching.usecases import clock, window

log = logging.getLogger(__name__)
JOB = "fit"
WEEK_S, HOUR_S = 7 * 86_400, 3_600
MOST = 300
"""Athletes that a squad is learned from; more are spread over evenly."""
BUDGET_S = 150.0
"""No squad is begun later than this; the longest one still ends before a task's time is up."""


def fit_due(model_id: str = versions.CURRENT) -> int:
    """Learn from the squads that have no fit of this week yet, for as long as the budget allows; returns how many.

    Every member's facts up to the evening before the week are read; what is kept are sums over the squad.
    """
    now = clock.now()
    week = periods.start_of(now, WEEK_S)
    done = fits.fitted(model_id, week.date())
    due = [
        squad.id for squad in queries.squads_of(access.OPERATOR(now.date())) if squad.id not in done and squad.members
    ]
    if not due or not periods.begin(JOB, periods.start_of(now, HOUR_S)):
        return 0
    count = 0
    for squad_id in due:
        if (clock.now() - now).total_seconds() > BUDGET_S:
            break
        count += _tried(squad_id, week.date(), versions.get(model_id), now)
    periods.ended(JOB, clock.now())
    return count


def fit_hourly(asked: datetime | None) -> datetime:
    """For a process that computes in between: ask an hour after its start, then every hour; returns when it last did.

    Not at once, because what is learned makes conclusions anew, and those who start a service want to see it stand.
    """
    now = clock.now()
    if asked is None or now - asked < timedelta(seconds=HOUR_S):
        return asked or now
    fit_due()
    return now


def _tried(squad_id: int, week: date, model: Model, now: datetime) -> bool:
    """A squad that cannot be learned from keeps what it had, and is tried again in an hour."""
    try:
        row, members = _fit(squad_id, week, model)
    except DatabaseError:
        raise
    except Exception:
        log.exception("squad %s could not be learned from", squad_id)
        return False
    with transaction.atomic():
        fits.save(row)
        if row.values:  # its members' conclusions are out of date now
            staleness.raise_for(members, now)
    return True


def _fit(squad_id: int, week: date, model: Model) -> tuple[SquadFit, Sequence[int]]:
    until = week - timedelta(days=1)
    members = sorted(queries.members(access.OPERATOR(week), [squad_id])[squad_id])
    facts = histories.facts(members[:: math.ceil(len(members) / MOST)], until)
    made = arrays([facts[i] for i in sorted(facts)], until, past_days=window.past_days(until), ahead_days=0)
    learned = fitting.fit(made.course, made.episodes, model.parameters)
    row = SquadFit(
        squad_id=squad_id,
        model=model.version,
        fitted_on=week,
        values=dict(learned.values),
        spreads=dict(learned.spreads),
        athletes=len(facts),
        answers=learned.answers,
        score_before=None if math.isnan(learned.before) else learned.before,
        score_after=None if math.isnan(learned.after) else learned.after,
    )
    return row, members
