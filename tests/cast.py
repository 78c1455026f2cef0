"""People and numbers for the tests of the rules: builders with calm defaults, so that a test says only what
matters.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from coaching.rules import rulebook
from coaching.rules.conclusions import AthleteConclusion, Deadline, EntryConclusion
from coaching.rules.decide import decide
from coaching.rules.facts import AthleteFacts, CareFact, CheckInFact, EntryFact, EpisodeFact, LookFact
from coaching.rules.numbers import AthleteNumbers, EntryNumbers, EpisodeNumbers, Quartet

ZONE = "Europe/Vienna"
NEVER = Quartet(None, None, None, None)


def day(text: str) -> date:
    """A day of 2027, written `3-20`."""
    month, number = text.split("-")
    return date(2027, int(month), int(number))


def at(text: str, hour: int) -> datetime:
    return datetime.combine(day(text), datetime.min.time(), ZoneInfo(ZONE)).replace(hour=hour)


def days(first: date, count: int) -> list[date]:
    return [first + timedelta(days=n) for n in range(count)]


def athlete(as_of: date, **changes: Any) -> AthleteFacts:
    """An adult of mixed skin with a calm answer this morning, nothing open, no event."""
    calm = CheckInFact(as_of, reserve=7, dampness=5, hardness=4, sting=1, pull_pain=0)
    facts = AthleteFacts("a1", 24, ZONE, skin_kind="mixed", checkins=(calm,), known_until=as_of)
    return replace(facts, **changes)


def entry(first: date, last: date | None = None, **changes: Any) -> EntryFact:
    """A competition of one day, all kinds of hold, no known day on which entries close."""
    fact = EntryFact("e1", "Event", "competition", first, last or first, ZONE)
    return replace(fact, **changes)


def split(noticed: date, site: str = "R-middle-tip-crease", *looks: LookFact, **changes: Any) -> EpisodeFact:
    fact = EpisodeFact("d1", site, "split", noticed, depth="deep", looks=looks)
    return replace(fact, **changes)


def planned(on: date, verb: str, form: str, *sites: str, **changes: Any) -> CareFact:
    return replace(CareFact(on, "planned", verb, form, sites=sites), **changes)


def done(on: date, verb: str, form: str, *sites: str, **changes: Any) -> CareFact:
    return replace(CareFact(on, "done", verb, form, sites=sites), **changes)


def chance(p: float, **changes: Any) -> EntryNumbers:
    """Readiness with a range of 0.1 either side, nothing that rest or tape would change."""
    numbers = EntryNumbers(
        "e1", p, max(0.0, p - 0.1), min(1.0, p + 0.1), p_usual=0.8, p_rest=p, p_protected=1.0
    )
    return replace(numbers, **changes)


def healing(
    closed: Quartet, usable: Quartet = NEVER, sound: Quartet = NEVER, **changes: Any
) -> EpisodeNumbers:
    return replace(EpisodeNumbers("d1", closed, usable, sound), **changes)


def numbers(*entries: EntryNumbers, **changes: Any) -> AthleteNumbers:
    calm = AthleteNumbers(
        reserve_mean_pt=6.5,
        reserve_sd_pt=0.9,
        usual_reserve_pt=6.5,
        dampness_mean_pt=5.0,
        dampness_sd_pt=0.9,
        hardness_mean_pt=4.0,
        load_7d_slu=3.0,
        load_7d_unknown_days=0,
        load_7d_percentile=0.5,
        load_ahead_7d_slu=3.0,
        monotony=1.2,
        entries={one.event_id: one for one in entries},
    )
    return replace(calm, **changes)


def concluded(facts: AthleteFacts, figures: AthleteNumbers, as_of: date) -> AthleteConclusion:
    return decide(facts, figures, as_of, rulebook.current())


def first(found: AthleteConclusion) -> EntryConclusion:
    return found.entries[0]


def of_kind(found: EntryConclusion, kind: str) -> list[Deadline]:
    return [one for one in found.deadlines if one.kind == kind]


def codes(found: EntryConclusion) -> list[str]:
    return [one.code for one in found.reasons]
