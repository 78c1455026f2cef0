"""Trials as their athlete reads them: the one that runs, those that are over, and what may be tried next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from athletes.records import access, queries_trials
from athletes.records.access import AthleteRef
from athletes.records.queries_trials import DayRow, PatchRow, TrialRow
from athletes.records.viewer import Viewer
from coaching.rules import timing
from coaching.rules.case import Case
from coaching.rules.facts import TriedFact
from coaching.rules.trial_questions import FORMS, needs_patch
from coaching.rules.trial_standing import standing
from coaching.rules.trial_start import not_today
from coaching.science.trial_plan import due
from coaching.usecases import clock, trial_data
from coaching.usecases.trial_arm import Arm
from coaching.usecases.trial_days import trial_of
from coaching.usecases.trial_history import Hint, hints
from coaching.usecases.trial_set_up import case_of


@dataclass(frozen=True)
class TrialShown:
    """One trial with today's arm, and the days that can still be told of."""

    athlete: AthleteRef
    row: TrialRow
    today: date
    arm: Arm | None
    lately: tuple[Arm, ...]
    caution: str
    how: str
    blocks: int

    @property
    def may_read(self) -> bool:
        return self.row.ended_on is None and self.today >= self.row.last_day


@dataclass(frozen=True)
class Board:
    """`stands`: by form and outcome what stands of the trials that are over."""

    athlete: AthleteRef
    today: date
    running: TrialShown | None
    over: tuple[TrialRow, ...]
    stands: dict[tuple[str, str], str]
    patches: tuple[PatchRow, ...]
    forms: tuple[tuple[str, str, bool], ...]  # form, verb, whether a small spot comes first
    hints: tuple[Hint, ...]


def board(viewer: Viewer, code: str | None) -> Board:
    """Of the athlete who looks, or of a guardian's minor. Raises NotFound."""
    athlete = access.athlete_to_check_in(viewer, code)
    today = clock.local_day(clock.now(), athlete.timezone)
    case = case_of(athlete, today)
    rows = queries_trials.of_athletes([athlete.id])
    live = next((row for row in rows if row.ended_on is None), None)
    over = tuple(row for row in rows if row.ended_on is not None)
    forms = tuple((name, case.book.forms[name].verb, needs_patch(name, timing.tolerated(case, name))) for name in FORMS)
    return Board(
        athlete, today, _shown(athlete, live, case) if live else None, over, standing(ended(over)),
        queries_trials.patches_of(athlete.id), forms, hints(athlete.id, case, rows),
    )  # fmt: skip


def ended(rows: tuple[TrialRow, ...]) -> list[TriedFact]:
    """Trials that are over, as the rules weigh them."""
    return [TriedFact(row.ended_on, row.form, row.outcome, row.verdict) for row in rows if row.ended_on]


def one_trial(viewer: Viewer, code: str | None, trial_id: int) -> TrialShown:
    """One trial. Raises NotFound."""
    athlete, row = trial_of(viewer, code, trial_id)
    return _shown(athlete, row, case_of(athlete, clock.local_day(clock.now(), athlete.timezone)))


def today(athlete: AthleteRef) -> tuple[TrialRow, Arm] | None:
    """The running trial of an athlete who has been let through the door, and what it asks today: one query where
    there is none.
    """
    live = next((row for row in queries_trials.of_athletes([athlete.id]) if row.ended_on is None), None)
    if live is None:
        return None
    case = case_of(athlete, clock.local_day(clock.now(), athlete.timezone))
    arm = arm_of(live, case, case.as_of, {one.day: one for one in queries_trials.days_of(live.id)})
    return (live, arm) if arm else None


def _shown(athlete: AthleteRef, row: TrialRow, case: Case) -> TrialShown:
    told = {one.day: one for one in queries_trials.days_of(row.id)}
    today, rule = case.as_of, case.book.forms[row.form]
    arms = [] if row.ended_on else [arm_of(row, case, today - timedelta(days=n), told) for n in range(3)]
    return TrialShown(
        athlete, row, today, arms[0] if arms else None, tuple(arm for arm in arms[1:] if arm), rule.caution, rule.how,
        len(row.starts),
    )  # fmt: skip


def arm_of(row: TrialRow, case: Case, day: date, told: dict[date, DayRow]) -> Arm | None:
    """What that day asks, None outside the trial's days. What the rulebook stops today is stopped in whichever arm."""
    blocks, at = trial_data.blocks_of(row), (day - row.first_day).days
    if not 0 <= at < blocks.days:
        return None
    block = blocks.at(at)
    days = due(blocks, trial_data.order_of(row), trial_data.every_of(row))[:, at]
    asked = block is not None and (at - blocks.starts[block]) % trial_data.every_of(row) == 0
    use = None if row.hidden else (bool(days[0]), bool(days[1]))
    bottle = block + 1 if row.hidden and asked and block is not None else None
    read = any(start + row.skip_days < at <= start + blocks.length for start in blocks.starts)
    stop = not_today(case, trial_data.ask_of(row), begun=True) if day == case.as_of else ()
    return Arm(day, block, use, bottle, read, stop, told.get(day, DayRow(day)))
