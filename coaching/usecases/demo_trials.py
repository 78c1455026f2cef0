"""The demo's two trials, lived through the same use-cases as anybody's, on the days on which they would have been."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings

from athletes.records import access, logins, queries_trials, writes_trials
from athletes.records.access import AthleteRef
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.rules.trial_questions import PRIOR_SD, READ_DAYS, Ask, skip_days
from coaching.rules.trial_start import lay_out
from coaching.science import versions
from coaching.usecases import set_up, sign_in, trial_data, trial_days
from coaching.usecases.storing import storing
from coaching.usecases.trial_set_up import case_of

SCENARIO = settings.ROOT / "fixtures" / "demo" / "trials.json"
SPOT_DAYS = (4, 2)
"""Days before the first on which the small spot was put on, and looked at."""


def load(now: datetime, scenario: Path = SCENARIO) -> int:
    """Store the trials of the scenario with their days moved as the bundle's are; returns how many."""
    anchor = set_up.anchor_of(set_up.DEMO_BUNDLE)
    anchor += timedelta(days=set_up.shift_days(anchor, now.date()))
    told = json.loads(scenario.read_text(encoding="utf-8"))
    for one in told:
        _live(one, anchor, now)
    return len(told)


def _live(one: Mapping[str, Any], anchor: date, now: datetime) -> None:
    viewer = sign_in.viewer(sign_in.account(logins.by_name(f"p-{one['athlete']}")))
    athlete = access.own_athlete(viewer)
    first = anchor + timedelta(days=one["first"])
    row = _begun(one, athlete, first, _morning(first, athlete))
    for n, (taken, left, right) in enumerate(one["days"]):
        day = first + timedelta(days=n)
        told = {"taken": bool(taken) if _asked(row, day) else None, "left": left, "right": right}
        _tell(viewer, row.id, day, told, min(_morning(day, athlete), now))
    if one["over"]:
        trial_days.end(viewer, None, row.id, "over", now=_morning(row.last_day + timedelta(days=1), athlete))


def _begun(one: Mapping[str, Any], athlete: AthleteRef, first: date, at: datetime) -> queries_trials.TrialRow:
    """The row as setting it up would have stored it, but for the order, which the scenario knows."""
    case, p = case_of(athlete, first), trial_data.parameters()
    ask = Ask(one["form"], one["outcome"], True, one["hands"], one["hidden"], one["pairs"])
    rule = case.book.forms[ask.form]
    skip, read = skip_days(rule, p), READ_DAYS[ask.outcome]
    blocks = lay_out(case, ask, first, skip, read)
    if blocks is None:
        raise ValueError("the scenario's trial does not fit between its events")
    with storing([athlete.id], at):
        for ago in SPOT_DAYS:
            writes_trials.store_patch(
                athlete_id=athlete.id, form=ask.form, local_date=first - timedelta(days=ago), reacted=False, made_at=at
            )
        key = writes_trials.store_trial(
            athlete_id=athlete.id, verb=rule.verb, form=ask.form, outcome=ask.outcome, lower_is_better=True,
            hands=ask.hands, hidden=ask.hidden, pairs=ask.pairs, skip_days=skip, read_days=read, first_day=first,
            last_day=first + timedelta(days=blocks.days - 1), starts=list(blocks.starts), seed=one["seed"],
            pair_sd=PRIOR_SD[ask.outcome], shows=None, model=versions.CURRENT, made_at=at,
        )  # fmt: skip
    return next(row for row in queries_trials.of_athletes([athlete.id]) if row.id == key)


def _asked(row: queries_trials.TrialRow, day: date) -> bool:
    """Whether anything was to be used: of a bottle every evening of a block, whatever it holds."""
    blocks = trial_data.blocks_of(row)
    return blocks.at((day - row.first_day).days) is not None


def _tell(viewer: Viewer, trial_id: int, day: date, told: dict[str, Any], at: datetime) -> None:
    """As told; where the rulebook stops the change on that day it was left out."""
    try:
        trial_days.tell_day(viewer, None, trial_id, day, told, at)
    except BadInput:
        trial_days.tell_day(viewer, None, trial_id, day, {**told, "taken": False}, at)


def _morning(day: date, athlete: AthleteRef) -> datetime:
    return datetime.combine(day, time(20), ZoneInfo(athlete.timezone)).astimezone(UTC)
