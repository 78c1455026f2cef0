"""Which actions the rulebook allows on which days before the events, and how they limit each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from coaching.rules import refusals
from coaching.rules.case import Case
from coaching.rules.facts import CareFact, EntryFact
from coaching.rules.planning_values import Action, AtMost, Choices, Needs
from coaching.rules.rulebook import FormRule
from coaching.rules.trial_standing import own_words, preferred
from coaching.rules.trial_verdict import NOT, WORKS

WEEK_DAYS = 7
MOST_AHEAD_DAYS = 28
MOST_AGENTS = 2
REST, HALF, EVEN_FORMS = "rest day", "shorter session", ("sand", "level callus")
SOFTEN_FORM = "humectant cream"
MOST_CREAMS = 2
FIRST_AGENTS = ("aluminium salt", "methenamine spray")
"""Offered to damp skin that never had an agent, while there is time to try one."""
STILL_ALLOWED_AWAY = ("soften",)
AWAY_KINDS = ("travel", "illness", "water", "other")
HALVES_A_WEEK = 3
RUNNING_DAYS = 14


@dataclass(frozen=True)
class Wishes:
    """What the coach keeps out of the planner's hands, and where there is a load that could be cut."""

    loaded: frozenset[date] = frozenset()  # days on which some load is expected
    halved: frozenset[date] = frozenset()  # of these the days whose session is planned, so that it can be halved
    fixed: frozenset[date] = frozenset()  # sessions that stand as they are


def lawful(case: Case) -> Case:
    """The athlete without planned care that the rulebook refuses: nobody will do it, so nothing is planned on it."""
    refused = [one.row for one in refusals.verdicts(case) if not one.allowed]
    care = tuple(row for row in case.facts.care if not any(row is other for other in refused))
    return replace(case, facts=replace(case.facts, care=care)) if refused else case


def choices(case: Case, wishes: Wishes) -> Choices:
    """Actions from tomorrow to the eve of the last event; none under a medical stop. `case` is lawful."""
    if case.medical_stop or not case.entries:
        return Choices(())
    days = list(plan_days(case))
    forms = [case.book.forms[name] for name in _forms(case)]
    found: list[Action] = []
    first_barred: set[int] = set()
    for rule in forms:
        for day in days:
            action, may_begin = _allowed(case, rule, day)
            if action and not may_begin:
                first_barred.add(len(found))
            if action:
                found.append(action)
    found += _cuts(case, days, wishes)
    actions = tuple(found)
    at_most = (*_by_day(actions), *_by_week(case, actions), *_in_a_row(case, actions), *_second_agent(case, actions))
    needs = (*_begins(actions, first_barred), *_goes_with(case, actions), *_often_enough(case, actions))
    return Choices(actions, at_most, needs)


def plan_days(case: Case) -> Iterator[date]:
    """Days before an event, the days of events left out: those are climbed."""
    last = max(one.first_day for one in case.entries) - timedelta(days=1)
    last = min(last, case.as_of + timedelta(days=MOST_AHEAD_DAYS))
    for n in range(1, (last - case.as_of).days + 1):
        day = case.as_of + timedelta(days=n)
        if not any(one.first_day <= day <= one.last_day for one in case.entries):
            yield day


def _forms(case: Case) -> list[str]:
    """Agents that the skin has borne or the coach has planned, or else a first one for damp skin; cream; a file. What
    worked in a trial of the athlete's own comes first, what did not is not offered again.
    """
    borne = [row for row in case.facts.care if row.status == "done" and case.book.is_agent(row.form)]
    known = [row.form for row in sorted(borne, key=lambda row: row.day, reverse=True)]
    known += [row.form for row in case.planned if case.book.is_agent(row.form)]
    agents = preferred(list(dict.fromkeys(known)), case.facts.tried)[:MOST_AGENTS]
    if not agents and case.kind == "damp":
        agents = preferred(FIRST_AGENTS, case.facts.tried)
    if case.kind == "dry":
        agents = []
    return [*agents, *_creams(case, bool(agents)), EVEN_FORMS[1] if agents else EVEN_FORMS[0]]


def _creams(case: Case, dried: bool) -> list[str]:
    """Creams that worked in a trial of the athlete's own, then the usual one; it is left out where it did nothing, but
    not beside an agent, which needs it.
    """
    words = own_words(case.facts.tried)
    worked = [form for form, word in sorted(words.items()) if word.code == WORKS and _softens(case, form)]
    usual = words.get(SOFTEN_FORM)
    keeps = dried or usual is None or usual.code != NOT
    return [*worked, *([SOFTEN_FORM] if keeps and SOFTEN_FORM not in worked else [])][:MOST_CREAMS]


def _softens(case: Case, form: str) -> bool:
    rule = case.book.form(form)
    return rule is not None and rule.verb == "soften"


def _allowed(case: Case, rule: FormRule, day: date) -> tuple[Action | None, bool]:
    """The action where the rulebook lets it stand that day, and whether it may be the first of its form."""
    if rule.verb not in STILL_ALLOWED_AWAY and _away(case, day):
        return None, False
    if any(row.day == day and (row.form == rule.form or _both_dry(case, row, rule)) for row in case.planned):
        return None, False
    for part in rule.parts:
        row = CareFact(day, "planned", rule.verb, rule.form, strength=_strength(case, rule), part=part)
        if refusals.judge(case, row, first_use=False).classes:
            continue
        known = bool(case.done(rule.form)) or any(one.form == rule.form and one.day < day for one in case.planned)
        begins = not rule.ingredient or (known and _running(case, rule)) or _in_time(case, rule, row, known)
        return Action(day, "care", rule.verb, rule.form, part, row.strength), begins
    return None, False


def _both_dry(case: Case, row: CareFact, rule: FormRule) -> bool:
    """An agent that stands in the plan already keeps its day."""
    return bool(rule.ingredient) and case.book.is_agent(row.form)


def _running(case: Case, rule: FormRule) -> bool:
    """In use within two weeks, or planned: it goes on and does not begin."""
    since = case.as_of - timedelta(days=RUNNING_DAYS)
    return any(row.day >= since for row in case.done(rule.form)) or any(r.form == rule.form for r in case.planned)


def _in_time(case: Case, rule: FormRule, row: CareFact, known: bool) -> bool:
    """Whether a course may begin on the day: allowed as a first use, and early enough to work by the next event."""
    if not known and refusals.judge(case, row, first_use=True).classes:
        return False
    ahead = [(one.first_day - row.day).days for one in case.entries if one.first_day > row.day]
    takes = (max(rule.run_days) + rule.settle_days) if rule.settle_days else rule.lead_days[1]
    return all(days >= takes for days in ahead)


def _strength(case: Case, rule: FormRule) -> str | None:
    """As last used; a first use is the weakest there is."""
    used = [row.strength for row in case.done(rule.form) if row.strength]
    return (used[-1] if used else rule.strengths[0]) if rule.strengths else None


def _away(case: Case, day: date) -> bool:
    return any(one.kind in AWAY_KINDS and one.first_day <= day <= one.last_day for one in case.facts.away)


def _cuts(case: Case, days: Iterable[date], wishes: Wishes) -> Iterator[Action]:
    resting = {row.day for row in case.planned if row.form == REST}
    for day in days:
        if day in wishes.loaded and day not in wishes.fixed and day not in resting:
            row = CareFact(day, "planned", "rest", REST, part="day")
            if not refusals.judge(case, row, first_use=False).classes:
                yield Action(day, "rest", "rest", REST, "day")
            if day in wishes.halved:
                yield Action(day, "half", "rest", HALF, "day")


def _by_day(actions: Sequence[Action]) -> Iterator[AtMost]:
    """One agent a day, no cream on an evening of agent or file, one cut of a session."""
    for day in sorted({one.day for one in actions}):
        of_day = [i for i, one in enumerate(actions) if one.day == day]
        agents = [i for i in of_day if actions[i].verb == "dry"]
        creams = [i for i in of_day if actions[i].verb == "soften"]
        files = [i for i in of_day if actions[i].verb == "even"]
        yield from _limit(agents + creams, 1)
        for file in files:
            yield from _limit([file, *(i for i in creams if actions[i].part == actions[file].part)], 1)
        yield from _limit([i for i in of_day if actions[i].kind in ("rest", "half")], 1)


def _by_week(case: Case, actions: Sequence[Action]) -> Iterator[AtMost]:
    """No more uses in any seven days than the rulebook allows, those done and planned already counted."""
    for form in sorted({one.form for one in actions}):
        rule = case.book.form(form)
        most = rule.uses_a_week[1] if rule else HALVES_A_WEEK
        there = [row.day for row in (*case.done(form), *case.planned) if row.form == form]
        own = [i for i, one in enumerate(actions) if one.form == form]
        for i in own:
            end = actions[i].day
            begin = end - timedelta(days=WEEK_DAYS - 1)
            window = [j for j in own if begin <= actions[j].day <= end]
            taken = sum(begin <= day <= end for day in there)
            yield from _limit(window, max(0, most - taken))
        for row_day in sorted(set(there)):  # weeks that end on a use that stands already
            begin = row_day - timedelta(days=WEEK_DAYS - 1)
            window = [j for j in own if begin <= actions[j].day <= row_day]
            yield from _limit(window, max(0, most - sum(begin <= day <= row_day for day in there)))


def _in_a_row(case: Case, actions: Sequence[Action]) -> Iterator[AtMost]:
    """Days without load in a row, as the rulebook has it: rested skin is worth less with every day after."""
    longest = case.book.forms[REST].run_days[1]
    rests = {one.day: i for i, one in enumerate(actions) if one.kind == "rest"}
    there = {row.day for row in case.planned if row.form == REST}
    for day in sorted(rests):
        run = [day + timedelta(days=n) for n in range(longest + 1)]
        if all(one in rests or one in there for one in run):
            yield from _limit([rests[one] for one in run if one in rests], longest - sum(one in there for one in run))


def _second_agent(case: Case, actions: Sequence[Action]) -> Iterator[AtMost]:
    """No second agent in the week before an event within two weeks of another one."""
    agents = [(i, one) for i, one in enumerate(actions) if one.verb == "dry"]
    for i, one in agents:
        if not any(0 <= (e.first_day - one.day).days <= refusals.LAST_WEEK_DAYS for e in case.entries):
            continue
        since = one.day - timedelta(days=refusals.SECOND_AGENT_DAYS)
        for j, other in agents:
            if case.book.ingredient(other.form) != case.book.ingredient(one.form) and since <= other.day <= one.day:
                yield from _limit([i, j], 1)


def _begins(actions: Sequence[Action], first_barred: set[int]) -> Iterator[Needs]:
    """Where a first use is too late, the form must have begun on an earlier day."""
    for i in sorted(first_barred):
        one = actions[i]
        yield Needs(i, tuple(j for j, other in enumerate(actions) if other.form == one.form and other.day < one.day))


def _goes_with(case: Case, actions: Sequence[Action]) -> Iterator[Needs]:
    """A course of an agent brings the cream and the filing that its skin needs, where the rulebook allows them."""
    there = {row.form for row in case.planned}
    for i, one in enumerate(actions):
        rule = case.book.form(one.form)
        for name in rule.needs_after if rule and one.verb == "dry" else ():
            others = tuple(j for j, other in enumerate(actions) if other.form == name)
            if others and name not in there:
                yield Needs(i, others)


def _often_enough(case: Case, actions: Sequence[Action]) -> Iterator[Needs]:
    """An agent that works only by several uses a week is not used once: another use stands within the week."""
    for i, one in enumerate(actions):
        rule = case.book.form(one.form)
        if one.verb != "dry" or rule is None or rule.uses_a_week[0] < 2:
            continue
        there = [row.day for row in (*case.done(one.form), *case.planned) if row.form == one.form]
        if any(abs((day - one.day).days) < WEEK_DAYS for day in there):
            continue
        near = (j for j, other in enumerate(actions) if j != i and other.form == one.form)
        yield Needs(i, tuple(j for j in near if abs((actions[j].day - one.day).days) < WEEK_DAYS))


def _limit(which: Sequence[int], most: int) -> Iterator[AtMost]:
    if len(which) > most:
        yield AtMost(tuple(which), most)


def next_entries(case: Case) -> tuple[EntryFact, ...]:
    """Entries that lie ahead and near enough to plan for."""
    last = case.as_of + timedelta(days=2 * MOST_AHEAD_DAYS)
    return tuple(one for one in case.entries if case.as_of < one.first_day <= last)
