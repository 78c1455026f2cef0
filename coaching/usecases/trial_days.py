"""A trial as it runs: what is told of a day, stopping early, a reaction, and the reading at its end."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from math import isfinite
from typing import Any

from django.utils.translation import gettext

from athletes.records import access, queries_trials, writes, writes_trials
from athletes.records.access import AthleteRef
from athletes.records.access_writing import athlete_to_write
from athletes.records.errors import BadInput, NotFound
from athletes.records.histories_care import HAND_TIPS
from athletes.records.histories_tried import EVIDENCE
from athletes.records.queries_trials import TrialRow
from athletes.records.viewer import Viewer
from coaching.rules.case import Case
from coaching.rules.trial_questions import dosing
from coaching.rules.trial_start import not_today
from coaching.rules.trial_verdict import tells, verdict
from coaching.science.trial_plan import due
from coaching.science.trial_reading import Reading, full_effect
from coaching.usecases import clock, trial_data
from coaching.usecases.storing import storing
from coaching.usecases.trial_set_up import case_of

BACK_DAYS = 3
"""What was forgotten may be told so many days later; after that memory is no record."""
REACTION = "reaction"


def trial_of(viewer: Viewer, code: str | None, trial_id: int) -> tuple[AthleteRef, TrialRow]:
    """The athlete's own trial of that number. Raises NotFound."""
    athlete = access.athlete_to_check_in(viewer, code)
    found = next((row for row in queries_trials.of_athletes([athlete.id]) if row.id == trial_id), None)
    if found is None:
        raise NotFound
    return athlete, found


def tell_day(
    viewer: Viewer, code: str | None, trial_id: int, day: date, told: dict[str, Any], now: datetime | None = None
) -> None:
    """Store taken, left and right of one day, None not told. Raises NotFound and BadInput.

    A use of an open trial is care like any other and is stored as such too; of a hidden one only once it is opened.
    """
    at = now or clock.now()
    athlete, row = _running(viewer, code, trial_id)
    today = clock.local_day(at, athlete.timezone)
    last = row.first_day + timedelta(days=trial_data.blocks_of(row).days - 1)
    if not max(row.first_day, today - timedelta(days=BACK_DAYS)) <= day <= min(today, last):
        raise BadInput("day", gettext("is not a day of the trial that can still be told of"), day)
    if told.get("taken") and day == today and not_today(case_of(athlete, today), trial_data.ask_of(row), True):
        raise BadInput("taken", gettext("is not to be used today"), day)
    for hand in ("left", "right"):
        if told.get(hand) is not None and (not row.hands or not 0 <= told[hand] <= 10):
            raise BadInput(hand, gettext("must be 0 to 10, in a trial of one hand against the other"), told[hand])
    before = next((one.taken for one in queries_trials.days_of(row.id) if one.day == day), None)
    with storing([athlete.id], at):
        writes_trials.store_trial_day(
            athlete_id=athlete.id, trial_id=row.id, local_date=day, made_at=at, by=viewer.account_id,
            **{name: told.get(name) for name in ("taken", "left", "right")},
        )  # fmt: skip
        if told.get("taken") is not None and before is None and not row.hidden and _due(row, day).any():
            _store_care(row, day, bool(told["taken"]))


def _due(row: TrialRow, day: date) -> Any:
    """Whether the change is due that day, on the left and on the right."""
    every = trial_data.every_of(row)
    return due(trial_data.blocks_of(row), trial_data.order_of(row), every)[:, (day - row.first_day).days]


def _store_care(row: TrialRow, day: date, done: bool, reaction: str = "") -> None:
    """Care of one hand names its fingertips, so that it counts as half of what both hands would take up."""
    values = {"local_date": day, "status": "done" if done else "skipped", "verb": row.verb, "form": row.form}
    values |= {"strength": row.strength or "", "reaction": reaction, "sites": _sites(row, day)}
    writes.store_care(athlete_id=row.athlete_id, values=values)


def _sites(row: TrialRow, day: date) -> list[str]:
    at = (day - row.first_day).days
    here = _due(row, day) if row.hands and 0 <= at < trial_data.blocks_of(row).days else (True, True)
    return [] if here[0] == here[1] else list(HAND_TIPS["L" if here[0] else "R"])


def end(
    viewer: Viewer, code: str | None, trial_id: int, why: str, note: str = "", now: datetime | None = None
) -> None:
    """End it as over (once its last day is past), stopped or reaction, open the order and keep what is read that day.

    Nothing is shown of a trial before this, so that nobody stops on a lucky day. Raises NotFound and BadInput.
    """
    at = now or clock.now()
    athlete, row = _running(viewer, code, trial_id)
    today = clock.local_day(at, athlete.timezone)
    if why == "over" and today < row.last_day:
        raise BadInput("why", gettext("is not over yet"), row.last_day)
    case = case_of(athlete, today)
    with storing([athlete.id], at):
        reading, dots = trial_data.reading_of(row, case)
        said = verdict(reading, row.outcome, row.lower_is_better, row.pair_sd)
        result = {**_result(reading), "cause": said.cause, "more": said.more_pairs, "lingers": said.lingers}
        result["dots"] = dots
        result["evidence"] = _evidence(row, reading, case)
        result["order"] = [bool(one) for one in trial_data.order_of(row)]
        if row.hidden:
            _open(row)
        if why == REACTION:
            _store_care(row, today, True, "stopped")
        writes_trials.store_trial_end(
            athlete_id=athlete.id, trial_id=row.id, local_date=today, why=why, note=note[:500],
            drawn="".join("C" if one else "U" for one in result["order"]),
            verdict=REACTION if why == REACTION else said.code, result=result, made_at=at, by=viewer.account_id,
        )  # fmt: skip


def _open(row: TrialRow) -> None:
    """Uses from the bottles that held the change become care, now that it is known which they were."""
    for one in queries_trials.days_of(row.id):
        if one.taken is not None and _due(row, one.day).any():
            _store_care(row, one.day, one.taken)


def _result(reading: Reading) -> dict[str, Any]:
    found = reading.found
    numbers: dict[str, Any] = {
        "pairs": found.pairs if found else 0,
        "values": [[_plain(v) for v in pair] for pair in reading.values],
        **{name: _plain(getattr(reading, name)) for name in ("contrast", "lingering", "taken_frac", "told_frac")},
        **{name: _plain(getattr(reading, name)) for name in ("se", "mean", "sd")},
    }
    if found:
        named = {"effect": found.effect, "assigned": found.assigned, "low": found.low, "high": found.high}
        numbers |= {name: _plain(value) for name, value in (named | {"level": found.level, "p": found.p_two}).items()}
    if reading.order:
        numbers |= {"order_gap": _plain(reading.order.gap), "order_p": reading.order.p_two}
    return numbers


def _evidence(row: TrialRow, reading: Reading, case: Case) -> dict[str, Any] | None:
    """What the filters take in as an answer of its own: of hands, dampness and an agent alone, and where a word could
    have been said. `EVIDENCE` says why blocks are not among it.
    """
    own = dosing(trial_data.ask_of(row), case.book, trial_data.parameters())
    told = row.hands and row.outcome == "dampness" and own.ingredient
    if not told or reading.found is None or not tells(reading) or not isfinite(reading.se):
        return None
    effect, sd = full_effect(reading.found, reading.se, own, trial_data.parameters())
    return {"rule": EVIDENCE, "ingredient": own.ingredient, "effect_pt": _plain(effect), "sd_pt": _plain(sd)}


def _plain(value: float) -> float | None:
    return round(float(value), 6) if isfinite(value) else None


def _running(viewer: Viewer, code: str | None, trial_id: int) -> tuple[AthleteRef, TrialRow]:
    athlete, row = trial_of(viewer, code, trial_id)
    athlete_to_write(viewer, athlete.code, "checkins")
    if row.ended_on is not None:
        raise BadInput("trial", gettext("has ended"), row.ended_on)
    return athlete, row


