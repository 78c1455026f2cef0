"""When a trial may begin, where its blocks lie around events, and what stops it: the rulebook holds in every arm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules import hardstops, refusals, timing
from coaching.rules.case import Case
from coaching.rules.facts import CareFact
from coaching.rules.rulebook import FormRule
from coaching.rules.trial_questions import Ask, needs_patch
from coaching.science.trial_plan import Blocks

PATCH_DAYS = 2
"""A small spot is looked at for two days (judgement; the label decides, an allergy test is a clinic's)."""
PATCH_LASTS_DAYS = 30
QUIET_DAYS = 7
"""Nothing is varied in the last week before an event (judgement: an event is no place to be in the wrong arm)."""
LONGEST_DAYS = 400
STOPPED_BY = {"travel", "illness", "water"}


@dataclass(frozen=True)
class Patch:
    """A small spot that was tried, and whether skin answered."""

    form: str
    day: date
    reacted: bool


@dataclass(frozen=True)
class Stop:
    """Why a trial may not begin. `day`: from when it may, None where no day is known."""

    code: str
    day: date | None = None


def stops(case: Case, ask: Ask, first_day: date, patches: tuple[Patch, ...], running: bool) -> tuple[Stop, ...]:
    """Every reason against the first use on that day, hard stops first; none where it may begin."""
    rule = case.book.forms[ask.form]
    return tuple(_stops(case, ask, rule, first_day, patches, running))


def _stops(
    case: Case, ask: Ask, rule: FormRule, first_day: date, patches: tuple[Patch, ...], running: bool
) -> Iterator[Stop]:
    row = row_of(rule, ask, first_day)
    for class_ in hardstops.broken(case, row, rule):
        yield Stop(class_)
    if case.kind in rule.not_for_kinds or (rule.ingredient and case.glassy):
        yield Stop("skin-kind")
    if running:
        yield Stop("running")
    if rule.ingredient and any(case.book.ingredient(one) != rule.ingredient for one in case.agents_in_use()):
        yield Stop("second-agent")
    if needs_patch(ask.form, timing.tolerated(case, ask.form)):
        found = patch_state(ask.form, patches, first_day)
        if found != "clear":
            yield Stop(f"patch-{found}")
    late = pause_until(case, rule, first_day, first_use=not case.done(ask.form))
    if late:
        yield Stop("event", late)


def row_of(rule: FormRule, ask: Ask, day: date) -> CareFact:
    """The change of one day as the rulebook reads it."""
    return CareFact(day, "planned", rule.verb, rule.form, ask.strength, rule.parts[-1])


def patch_state(form: str, patches: tuple[Patch, ...], first_day: date) -> str:
    """clear: put on, and looked at two days later or more; reacted; waiting: not yet looked at; or missing."""
    own = sorted((one for one in patches if one.form == form), key=lambda one: one.day)
    if any(one.reacted for one in own):
        return "reacted"
    lately = [one.day for one in own if (first_day - one.day).days <= PATCH_LASTS_DAYS]
    if not lately:
        return "missing"
    return "clear" if (lately[-1] - lately[0]).days >= PATCH_DAYS else "waiting"


def pause_until(case: Case, rule: FormRule, day: date, first_use: bool) -> date | None:
    """The day after the event whose pause holds the day; None where no event is so near."""
    for entry in case.entries:
        quiet = max(QUIET_DAYS, rule.stop_days, rule.no_first_use_days if first_use else 0)
        if entry.first_day - timedelta(days=quiet) <= day <= entry.last_day:
            return entry.last_day + timedelta(days=1)
    for away in case.facts.away:
        if away.kind in STOPPED_BY and away.first_day <= day <= away.last_day:
            return away.last_day + timedelta(days=1)
    return None


def lay_out(case: Case, ask: Ask, first_day: date, skip: int, read: int) -> Blocks | None:
    """Blocks of all pairs from that day on; a pair that would meet an event or days away comes after them. None where
    they do not fit into a year and a bit.
    """
    rule, day, starts = case.book.forms[ask.form], first_day, list[int]()
    length, blocks = skip + read, 1 if ask.hands else 2
    for _ in range(ask.pairs):
        while later := _meets(case, rule, day, length * blocks):
            day = later
        starts += [(day - first_day).days + length * b for b in range(blocks)]
        day += timedelta(days=length * blocks)
        if (day - first_day).days > LONGEST_DAYS:
            return None
    return Blocks(tuple(starts), skip, read, ask.hands)


def _meets(case: Case, rule: FormRule, begin: date, days: int) -> date | None:
    """Where the days of a pair meet a pause: the day on which the pair may begin instead."""
    span = (begin + timedelta(days=n) for n in range(days + 1))
    return next((later for day in span if (later := pause_until(case, rule, day, first_use=False))), None)


def not_today(case: Case, ask: Ask, begun: bool) -> tuple[str, ...]:
    """Classes of the rulebook that the change would break today, in whichever arm: then it is left out and said so.

    The draw hides the arm from the athlete where it can, and never a caution.
    """
    rule = case.book.forms[ask.form]
    found = list(refusals.judge(case, row_of(rule, ask, case.as_of), first_use=not begun).classes)
    if not found and pause_until(case, rule, case.as_of, first_use=False):
        found.append("event")
    return tuple(found)
