"""From facts to conclusions for a batch of athletes on one local day. It stores nothing but bars."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass, is_dataclass, replace
from datetime import date

from athletes.records import histories, queries
from coaching.ledger.codec import plain
from coaching.ledger.store import AthleteRow, EntryRow
from coaching.rules import rulebook
from coaching.rules.conclusions import AthleteConclusion, EntryConclusion
from coaching.rules.decide import decide
from coaching.rules.facts import AthleteFacts
from coaching.rules.numbers import AthleteNumbers, EntryNumbers
from coaching.science import versions
from coaching.usecases import figuring, picturing, squad_bar
from coaching.usecases.shown import EntryShown

PAST_DAYS = 180
"""Days of history the models read: longer than any memory they have, so that more would change nothing a page shows."""
AHEAD_DAYS = 42
FURTHEST_DAYS = 180
"""Events further ahead are listed only once they come nearer; nothing known today says anything of them."""


@dataclass(frozen=True)
class Concluded:
    """One athlete's facts, numbers and conclusion on one day."""

    facts: AthleteFacts
    numbers: AthleteNumbers
    conclusion: AthleteConclusion
    figures: picturing.DayFigures


def conclude(athlete_ids: Sequence[int], as_of: date, model_id: str = versions.CURRENT) -> dict[int, AthleteRow]:
    """Rows for the ledger, by athlete; an athlete who is not in the records is left out."""
    found = concluded(athlete_ids, as_of, model_id)
    events = queries.event_ids({e.event_id for c in found.values() for e in c.facts.entries})
    return {athlete_id: _row(athlete_id, c, as_of, model_id, events) for athlete_id, c in found.items()}


def concluded(athlete_ids: Sequence[int], as_of: date, model_id: str = versions.CURRENT) -> dict[int, Concluded]:
    """Facts, numbers and conclusions of each athlete on the evening of `as_of`."""
    facts = histories.facts(athlete_ids, as_of)
    if not facts:
        return {}
    bars = squad_bar.bars_for(list(facts), as_of, model_id)
    facts = {athlete_id: _ready(f, bars[athlete_id], as_of) for athlete_id, f in facts.items()}
    ids = sorted(facts)
    figured = figuring.figures([facts[i] for i in ids], as_of, versions.get(model_id), (PAST_DAYS, AHEAD_DAYS))
    book = rulebook.current()
    return {
        athlete_id: Concluded(facts[athlete_id], numbers, decide(facts[athlete_id], numbers, as_of, book), days)
        for athlete_id, (numbers, days) in zip(ids, figured, strict=True)
    }


def _ready(facts: AthleteFacts, bar: squad_bar.Bar, as_of: date) -> AthleteFacts:
    """The facts with the squad's bar, and without events too far ahead for any forecast."""
    near = tuple(e for e in facts.entries if (e.last_day - as_of).days <= FURTHEST_DAYS)
    return replace(facts, entries=near, squad_bar_frac=bar.bar_frac, squad_bar_provisional=bar.provisional)


def _row(athlete_id: int, c: Concluded, as_of: date, model_id: str, events: dict[str, int]) -> AthleteRow:
    shown = picturing.picture(c.facts, c.numbers, c.figures, as_of)
    return AthleteRow(
        athlete_id=athlete_id,
        as_of=as_of,
        model=model_id,
        rulebook=rulebook.current().version,
        inputs_digest=digest(c.facts),
        medical=c.conclusion.medical,
        may_climb=c.conclusion.today.may_climb,
        known_until=c.conclusion.known_until,
        body=plain(replace(c.conclusion, entries=())),
        picture=plain(shown),
        entries=tuple(_entry(e, c, events) for e in c.conclusion.entries),
    )


def digest(facts: AthleteFacts) -> str:
    """SHA-256 over everything the conclusion was drawn from."""
    canonical = json.dumps(facts, default=_canonical, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(canonical.encode()).hexdigest()


def _canonical(value: object) -> object:
    """What JSON does not know, one step nearer to it: fields by name, days as ISO 8601, sets in order."""
    if is_dataclass(value):
        return vars(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, frozenset):
        return sorted(value)
    raise TypeError(f"no canonical form for {type(value).__name__}")


def _entry(entry: EntryConclusion, c: Concluded, events: dict[str, int]) -> EntryRow:
    fact = next(e for e in c.facts.entries if e.event_id == entry.event_id)
    numbers = c.numbers.entries[entry.event_id]
    return EntryRow(
        event_id=events[entry.event_id],
        level=entry.level,
        p=entry.p,
        low=entry.low,
        high=entry.high,
        bar_frac=entry.bar_frac,
        first_day=fact.first_day,
        last_day=fact.last_day,
        body=plain(_shown(entry, numbers, c, fact_index=c.facts.entries.index(fact))),
    )


def _shown(entry: EntryConclusion, numbers: EntryNumbers, c: Concluded, fact_index: int) -> EntryShown:
    return EntryShown(
        event=picturing.event(c.facts.entries[fact_index]),
        level=entry.level,
        p=None if entry.level == "not-known" else entry.p,
        low=entry.low,
        high=entry.high,
        bar_frac=entry.bar_frac,
        bar_provisional=entry.bar_provisional,
        good_days=entry.good_days,
        reasons=entry.reasons,
        deadlines=entry.deadlines,
        fallbacks=entry.fallbacks,
        parts=numbers.parts,
        episode_parts=numbers.episode_parts,
        p_usual=numbers.p_usual,
    )


