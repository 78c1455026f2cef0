"""All that the rules conclude about one athlete on the evening of a day."""

from __future__ import annotations

from datetime import date

from coaching.rules import deadlines, fallbacks, levels, limits, reasons, refusals, skin, steps, verdict
from coaching.rules.case import Case
from coaching.rules.conclusions import AthleteConclusion, EntryConclusion
from coaching.rules.facts import AthleteFacts, EntryFact
from coaching.rules.numbers import AthleteNumbers
from coaching.rules.refusals import Verdict
from coaching.rules.rulebook import Rulebook
from coaching.rules.weighed import Question


def decide(
    facts: AthleteFacts, numbers: AthleteNumbers, as_of: date, rulebook: Rulebook
) -> AthleteConclusion:
    """Conclude from facts and numbers alone; same input, same conclusion.

    Entries that are over or withdrawn are left out. Raises ValueError where an entry has no number.
    """
    case = Case(facts, numbers, as_of, rulebook)
    judged = refusals.verdicts(case)
    return AthleteConclusion(
        athlete_id=facts.athlete_id,
        medical=case.medical,
        known_until=skin.known_until(facts, as_of),
        today=verdict.today(case),
        limits=limits.limits(case),
        steps=steps.steps(case, judged),
        refused=refusals.refused(case, judged),
        entries=tuple(_entry(case, entry, judged) for entry in case.entries),
    )


def _entry(case: Case, entry: EntryFact, judged: tuple[Verdict, ...]) -> EntryConclusion:
    numbers = case.numbers_for(entry)
    bar_frac, provisional = levels.bar_of(case, entry)
    found = deadlines.for_entry(case, entry)
    level = levels.level(case, entry, found)
    return EntryConclusion(
        event_id=entry.event_id,
        level=level,
        p=numbers.p,
        low=numbers.low,
        high=numbers.high,
        bar_frac=bar_frac,
        bar_provisional=provisional,
        good_days=numbers.good_days,
        reasons=reasons.reasons(Question(case, entry, level, found), judged),
        deadlines=found,
        fallbacks=fallbacks.fallbacks(case, entry, level, found),
    )
