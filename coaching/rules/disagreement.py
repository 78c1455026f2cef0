"""The same calm answer many times over while someone else saw marks: two records that differ, both kept,
nobody blamed.

Staff reactions drive honesty in self-report (a 2023 study on athletes' honesty in subjective monitoring), so
this asks for a look in person and says nothing about why.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules.facts import AthleteFacts, CheckInFact, SightingFact

SAME_ANSWERS = 7
SEEN_DAYS = 3
CALM_PT = 1


@dataclass(frozen=True)
class Disagreement:
    answers: int  # how many equal answers in a row
    since: date
    seen_on: date
    sites: tuple[str, ...]
    mark: str


def disagreement(facts: AthleteFacts, as_of: date) -> Disagreement | None:
    """Seven or more equal calm answers up to the last one, and a sighting of marks within the last three
    days.
    """
    run = _run(facts, as_of)
    if len(run) < SAME_ANSWERS:
        return None
    seen = [one for one in facts.sightings if one.marks and _recent(one, run[0].day, as_of)]
    if not seen:
        return None
    last = max(seen, key=lambda one: one.day)
    sites = tuple(dict.fromkeys(site for site, _ in last.marks))
    return Disagreement(len(run), run[0].day, last.day, sites, last.marks[0][1])


def look_by(facts: AthleteFacts, as_of: date) -> date:
    """The next planned session, where it is easy to look in person; without one, tomorrow."""
    sessions = [one.day for one in facts.sessions if one.planned and one.day > as_of]
    return min(sessions, default=as_of + timedelta(days=1))


def _recent(sighting: SightingFact, since: date, as_of: date) -> bool:
    return since <= sighting.day <= as_of and (as_of - sighting.day).days <= SEEN_DAYS


def _run(facts: AthleteFacts, as_of: date) -> list[CheckInFact]:
    """The last equal calm answers, oldest first."""
    answers = sorted((one for one in facts.checkins if one.day <= as_of), key=lambda one: one.day)
    run: list[CheckInFact] = []
    for one in reversed(answers):
        if not _calm(one) or (run and _ratings(one) != _ratings(run[0])):
            break
        run.insert(0, one)
    return run


def _ratings(one: CheckInFact) -> tuple[int | None, ...]:
    return one.reserve, one.dampness, one.hardness, one.sting, one.pull_pain


def _calm(one: CheckInFact) -> bool:
    asked = [rating for rating in (one.sting, one.pull_pain) if rating is not None]
    return bool(asked) and max(asked) <= CALM_PT and not one.marks and not one.red_flags
