"""Set up a trial: what it takes and can show is said before it begins, then chance draws the order."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from math import isfinite

from django.utils.translation import gettext

from athletes.records import access, histories, queries_trials, writes_trials
from athletes.records.access import AthleteRef
from athletes.records.access_writing import athlete_to_write
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.rules.case import Case
from coaching.rules.trial_questions import (
    HANDS_SD,
    PAIRS,
    PRIOR_SD,
    READ_DAYS,
    Ask,
    dosing,
    grain,
    skip_days,
    wrong,
)
from coaching.rules.trial_start import Patch, Stop, lay_out, stops
from coaching.rules.trial_verdict import WORTH
from coaching.science import versions
from coaching.science.trial_plan import Blocks, expected_contrast
from coaching.science.trial_power import Exposure, detectable, pair_sd, power
from coaching.usecases import clock, rulebooks, trial_data
from coaching.usecases.record_care import UNKNOWN
from coaching.usecases.storing import storing

SEED_BITS = 62


@dataclass(frozen=True)
class Proposal:
    """A trial before it begins: what stands against it, its days, and what it can show in four of five trials."""

    ask: Ask
    first_day: date
    stops: tuple[Stop, ...]
    blocks: Blocks | None  # None: it does not fit between the events
    skip: int
    read: int
    pair_sd: float
    shows: float | None  # None: nothing within reach
    shows_with_more: tuple[int, float] | None  # of more pairs: how many, and what those would show
    chance_of_worth: float  # of showing an effect that is just worth it
    worth: float
    caution: str
    source: str
    how: str
    needs_signs: tuple[str, ...]

    @property
    def last_day(self) -> date | None:
        return self.first_day + timedelta(days=self.blocks.days - 1) if self.blocks else None


def case_of(athlete: AthleteRef, today: date) -> Case:
    """The athlete as the hard rules read them."""
    book = rulebooks.books_for([athlete.id], today)[athlete.id]
    return Case(histories.facts([athlete.id], today)[athlete.id], UNKNOWN, today, book)


def propose(viewer: Viewer, code: str | None, ask: Ask, first_day: date | None = None) -> Proposal:
    """What the trial would be. Raises NotFound, and BadInput for what is no question."""
    athlete = access.athlete_to_check_in(viewer, code)
    today = clock.local_day(clock.now(), athlete.timezone)
    return _proposal(athlete, case_of(athlete, today), ask, first_day or today)


def _proposal(athlete: AthleteRef, case: Case, ask: Ask, first_day: date) -> Proposal:
    if field := wrong(ask):
        raise BadInput(field, gettext("cannot be tried in this way"), getattr(ask, field))
    if not case.as_of <= first_day <= case.as_of + timedelta(days=90):
        raise BadInput("first_day", gettext("must be a day of the next three months"), first_day)
    p, rule = trial_data.parameters(), case.book.forms[ask.form]
    running = any(row.ended_on is None for row in queries_trials.of_athletes([athlete.id]))
    patches = tuple(Patch(one.form, one.day, one.reacted) for one in queries_trials.patches_of(athlete.id))
    skip, read = skip_days(rule, p), READ_DAYS[ask.outcome]
    blocks = lay_out(case, ask, first_day, skip, read)
    sd = _scatter(athlete.id, ask, first_day, skip + read, read)
    shows, more, chance = None, None, 0.0
    if blocks:
        exposure = replace(expected_contrast(blocks, dosing(ask, case.book, p), p), grain=grain(ask.outcome))
        least = detectable(ask.pairs, sd, exposure)
        shows = least if isfinite(least) else None
        more = _more(ask.pairs, sd, exposure)
        chance = power(WORTH[ask.outcome], ask.pairs, sd, exposure)
    found = stops(case, ask, first_day, patches, running)
    signs = ("guardian", "medical") if any(one.code == "age" for one in found) else ()
    return Proposal(
        ask, first_day, found, blocks, skip, read, sd, shows, more, chance, WORTH[ask.outcome], rule.caution,
        rule.source, rule.how, signs,
    )  # fmt: skip


def _more(pairs: int, sd: float, exposure: Exposure) -> tuple[int, float] | None:
    """The next larger trial that can be had, and what it would show."""
    larger = next((n for n in PAIRS if n > pairs + 1), None)
    least = detectable(larger, sd, exposure) if larger else float("inf")
    return (larger, least) if larger and isfinite(least) else None


def _scatter(athlete_id: int, ask: Ask, first_day: date, length: int, read: int) -> float:
    """Expected scatter of a pair, from the athlete's own answers of the months before where there are any."""
    if ask.hands:
        return HANDS_SD[ask.outcome]
    begin = first_day - timedelta(days=trial_data.PAST_DAYS)
    past = trial_data.daily(athlete_id, ask.outcome, begin, trial_data.PAST_DAYS)
    return pair_sd(past, read, length, PRIOR_SD[ask.outcome])


def begin(viewer: Viewer, code: str | None, ask: Ask, first_day: date, now: datetime | None = None) -> int:
    """Draw the order and store the trial. Raises NotFound, and BadInput where anything stands against it."""
    at = now or clock.now()
    own = access.athlete_to_check_in(viewer, code)
    athlete = athlete_to_write(viewer, own.code, "checkins")
    today = clock.local_day(at, athlete.timezone)
    with storing([athlete.id], at):
        found = _proposal(athlete, case_of(athlete, today), ask, first_day)
        if found.stops or found.blocks is None or found.last_day is None:
            raise BadInput("first_day", gettext("cannot begin: see what stands against it"), first_day)
        rule = rulebooks.books_for([athlete.id], today)[athlete.id].forms[ask.form]
        return writes_trials.store_trial(
            athlete_id=athlete.id, verb=rule.verb, form=ask.form, strength=ask.strength or "", outcome=ask.outcome,
            lower_is_better=ask.lower_is_better, hands=ask.hands, hidden=ask.hidden, pairs=ask.pairs,
            skip_days=found.skip, read_days=found.read, first_day=first_day, last_day=found.last_day,
            starts=list(found.blocks.starts), seed=secrets.randbits(SEED_BITS), pair_sd=found.pair_sd,
            shows=found.shows, model=versions.CURRENT, made_at=at, by=viewer.account_id,
        )  # fmt: skip


def tell_patch(viewer: Viewer, code: str | None, form: str, reacted: bool, now: datetime | None = None) -> None:
    """Store that a small spot was tried today. Raises NotFound, BadInput."""
    at = now or clock.now()
    own = access.athlete_to_check_in(viewer, code)
    athlete = athlete_to_write(viewer, own.code, "checkins")
    if wrong(Ask(form, "sting", True, False, False, 6)) == "form":
        raise BadInput("form", gettext("cannot be tried in this way"), form)
    today = clock.local_day(at, athlete.timezone)
    with storing([athlete.id], at):
        writes_trials.store_patch(
            athlete_id=athlete.id, form=form, local_date=today, reacted=reacted, made_at=at, by=viewer.account_id
        )
