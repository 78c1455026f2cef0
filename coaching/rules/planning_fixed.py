"""The fixed list of last days that a plan is measured against: what is done without looking at the athlete.

Judgement from common practice before a competition: edges filed three days before, the last rough session then, a
short one two days before, hands off and cream the day before, an agent in use every other night to its last day.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from coaching.rules.case import Case
from coaching.rules.facts import EntryFact
from coaching.rules.planning_check import refused
from coaching.rules.planning_values import Action, AtMost, Choices

AGENT_FROM_DAYS = 14
FILE_DAYS, SHORT_DAYS, REST_DAYS, CREAM_DAYS = 3, 2, 1, 1


def fixed_list(case: Case, found: Choices) -> tuple[int, ...]:
    """Indices of the actions that the list takes, as far as the rulebook allows each and all of them."""
    wanted = [i for entry in case.entries for i in _for(case, entry, found.actions)]
    taken: list[int] = []
    for i in dict.fromkeys(wanted):
        if _fits(found.at_most, [*taken, i]) and not refused(case, [found.actions[j] for j in (*taken, i)]):
            taken.append(i)
    return tuple(sorted(taken))


def _for(case: Case, entry: EntryFact, actions: Sequence[Action]) -> Iterator[int]:
    def on(days: int) -> date:
        return entry.first_day - timedelta(days=days)

    in_use = set(case.agents_in_use())
    agents = [on(days) for days in range(AGENT_FROM_DAYS, 0, -2)]
    for i, one in enumerate(actions):
        if (
            (one.kind == "rest" and one.day == on(REST_DAYS))
            or (one.kind == "half" and one.day == on(SHORT_DAYS))
            or (one.verb == "even" and one.day == on(FILE_DAYS))
            or (one.verb == "soften" and one.day == on(CREAM_DAYS))
            or (one.verb == "dry" and one.form in in_use and one.day in agents)
        ):
            yield i


def _fits(limits: Sequence[AtMost], taken: Sequence[int]) -> bool:
    return all(len(set(limit.which).intersection(taken)) <= limit.most for limit in limits)
