"""From facts to conclusions for a batch of athletes on one local day. It stores nothing but bars."""

from __future__ import annotations

import hashlib
import json
import logging
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass, replace
from datetime import date
from functools import cache, lru_cache
from operator import attrgetter
from typing import Any

from django.db import DatabaseError

from athletes.records import histories, queries
from athletes.records.histories import Tables
from coaching.ledger.codec import plain
from coaching.ledger.store import AthleteRow, EntryRow
from coaching.rules.conclusions import AthleteConclusion, EntryConclusion
from coaching.rules.decide import decide
from coaching.rules.facts import AthleteFacts
from coaching.rules.numbers import AthleteNumbers, EntryNumbers
from coaching.science import versions
from coaching.science.model import Model
from coaching.usecases import figuring, keeping, learned, picturing, rulebooks, squad_bar
from coaching.usecases.following import Followed, Kept, Mornings, follow
from coaching.usecases.shown import EntryShown
from coaching.usecases.window import PAST_DAYS

__all__ = ["AHEAD_DAYS", "FURTHEST_DAYS", "PAST_DAYS", "conclude", "conclude_from", "concluded", "digest"]
log = logging.getLogger(__name__)

AHEAD_DAYS = 42
FURTHEST_DAYS = 180
"""Events further ahead are listed only once they come nearer; nothing known today says anything of them."""
DETOUR = 100
"""So many members of squads without a bar are always taken along; more only where the batch is as large."""


@dataclass(frozen=True)
class Concluded:
    """One athlete's facts, numbers and conclusion on one day."""

    facts: AthleteFacts
    numbers: AthleteNumbers
    conclusion: AthleteConclusion
    figures: picturing.DayFigures
    rulebook: str  # version of the rulebook in force for them


@dataclass(frozen=True)
class AtHand:
    """What was derived on earlier evenings, by athlete; without any of it the conclusions are the same."""

    packed: Mapping[int, bytes] = field(default_factory=dict)  # rows of facts, none of which has changed since
    mornings: Mornings | None = None  # None: none is used and none is made
    mornings_of: Callable[[Sequence[int]], Mornings] = lambda athlete_ids: {}  # of others who are taken along

    def with_others(self, athlete_ids: Sequence[int]) -> Mornings | None:
        """The mornings, with those of others."""
        return self.mornings if self.mornings is None else {**self.mornings, **self.mornings_of(athlete_ids)}


@dataclass(frozen=True)
class Derived:
    """What can be kept for evenings to come, by athlete."""

    packed: Mapping[int, bytes]
    mornings: Mapping[int, Kept]


def conclude(athlete_ids: Sequence[int], as_of: date, model_id: str = versions.CURRENT) -> dict[int, AthleteRow]:
    """Rows for the ledger, by athlete; an athlete who is not in the records is left out."""
    return conclude_from(athlete_ids, as_of, AtHand(), model_id)[0]


def conclude_from(
    athlete_ids: Sequence[int], as_of: date, at_hand: AtHand, model_id: str = versions.CURRENT
) -> tuple[dict[int, AthleteRow], Derived]:
    """The same from what is at hand, and what of it is new."""
    found, derived = _concluded(athlete_ids, as_of, at_hand, model_id)
    events = queries.event_ids({e.event_id for c in found.values() for e in c.facts.entries})
    return {athlete_id: _row(athlete_id, c, as_of, model_id, events) for athlete_id, c in found.items()}, derived


def concluded(athlete_ids: Sequence[int], as_of: date, model_id: str = versions.CURRENT) -> dict[int, Concluded]:
    """Facts, numbers and conclusions of each athlete on the evening of `as_of`."""
    return _concluded(athlete_ids, as_of, AtHand(), model_id)[0]


def _concluded(
    athlete_ids: Sequence[int], as_of: date, at_hand: AtHand, model_id: str
) -> tuple[dict[int, Concluded], Derived]:
    ids = sorted(set(athlete_ids))
    wanted = squad_bar.asked(ids, as_of)
    parts = [
        _of_model(some, wanted.only(some), (as_of, model), at_hand)
        for model, some in learned.by_model(ids, wanted.squads, versions.get(model_id))
    ]
    found = {key: one for part, _ in parts for key, one in part.items()}
    derived = Derived(
        {key: one for _, part in parts for key, one in part.packed.items()},
        {key: one for _, part in parts for key, one in part.mornings.items()},
    )
    return {key: found[key] for key in sorted(found)}, derived


def _of_model(
    ids: Sequence[int], wanted: squad_bar.Asked, at: tuple[date, Model], at_hand: AtHand
) -> tuple[dict[int, Concluded], Derived]:
    """Athletes whose squads go by the same quantities."""
    as_of, model = at
    books = rulebooks.books_for(ids, as_of)
    tables = histories.read(ids, as_of, at_hand.packed)
    groups, bars = _followed(ids, wanted, (as_of, model), tables, at_hand)
    found = {}
    for group in groups:
        for key, facts, (numbers, days) in zip(
            group.keys, group.facts, figuring.figures_of(group, AHEAD_DAYS), strict=True
        ):
            if key in bars:
                told = replace(facts, squad_bar_frac=bars[key].bar_frac, squad_bar_provisional=bars[key].provisional)
                decided = decide(told, numbers, as_of, books[key])
                found[key] = Concluded(told, numbers, decided, days, books[key].version)
    return found, _derived(tables, found, groups, as_of, at_hand)


def _followed(
    ids: Sequence[int],
    wanted: squad_bar.Asked,
    at: tuple[date, Model],
    tables: Mapping[int, Tables],
    at_hand: AtHand,
) -> tuple[list[Followed], dict[int, squad_bar.Bar]]:
    """The filters of the athletes, and their bars: of one pass over them and their squads where that is no detour."""
    as_of, model = at
    others = sorted(wanted.everybody - set(ids))
    if wanted.members and len(others) <= max(len(ids), DETOUR):
        try:
            whole = {**tables, **histories.read(others, as_of)}
            groups = _pass([*ids, *others], as_of, model, whole, at_hand.with_others(others))
            return groups, squad_bar.bars(wanted, ids, model, groups)
        except DatabaseError:
            raise
        except Exception as error:  # whose it is shows below, and a squad's bar does without them
            log.warning("bars are computed apart: %r", error)
    bars = squad_bar.bars(wanted, ids, model)
    return _pass(ids, as_of, model, tables, at_hand.mornings), bars


def _pass(
    ids: Sequence[int], as_of: date, model: Model, tables: Mapping[int, Tables], mornings: Mornings | None
) -> list[Followed]:
    facts = histories.facts(ids, as_of, tables=tables)
    return follow({key: _near(f, as_of) for key, f in facts.items()}, as_of, model, AHEAD_DAYS, mornings)


def _near(facts: AthleteFacts, as_of: date) -> AthleteFacts:
    """The facts without events too far ahead for any forecast."""
    near = tuple(e for e in facts.entries if (e.last_day - as_of).days <= FURTHEST_DAYS)
    return facts if len(near) == len(facts.entries) else replace(facts, entries=near)


def _derived(
    tables: Mapping[int, Tables],
    found: Mapping[int, Concluded],
    groups: Sequence[Followed],
    as_of: date,
    at_hand: AtHand,
) -> Derived:
    if at_hand.mornings is None:
        return Derived({}, {})
    read = (key for key in found if key not in at_hand.packed)
    fresh = {key: kept for group in groups for key, kept in group.fresh.items() if key in found}
    return Derived({key: histories.pack(tables[key], as_of) for key in read}, fresh)


def _row(athlete_id: int, c: Concluded, as_of: date, model_id: str, events: dict[str, int]) -> AthleteRow:
    shown = picturing.picture(c.facts, c.numbers, c.figures, as_of)
    return AthleteRow(
        athlete_id=athlete_id,
        as_of=as_of,
        model=model_id,
        rulebook=c.rulebook,
        inputs_digest=digest(c.facts),
        medical=c.conclusion.medical,
        may_climb=c.conclusion.today.may_climb,
        known_until=c.conclusion.known_until,
        body=plain(replace(c.conclusion, entries=())),
        picture=plain(shown),
        entries=tuple(_entry(e, c, events) for e in c.conclusion.entries),
        kept=keeping.forecasts(athlete_id, c.facts, c.conclusion, c.figures.ahead, (as_of, model_id, events)),
    )


def digest(facts: AthleteFacts) -> str:
    """SHA-256 over everything the conclusion was drawn from."""
    listed = [_listed(value) for value in _values_of(AthleteFacts)(facts)]
    return hashlib.sha256(CANONICAL.encode(listed).encode()).hexdigest()


def _listed(value: Any) -> Any:
    """Many facts of one kind as the values of their fields, which is what `_canonical` makes of each of them."""
    if type(value) is not tuple or not value or not is_dataclass(value[0]):
        return value
    return list(map(_values_of(type(value[0])), value))


def _canonical(value: Any) -> object:
    """What JSON does not know, a step nearer to it: values in the order of fields, days as ISO 8601, sets in order."""
    if type(value) is date:
        return _iso(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, frozenset):
        return sorted(value)
    return _values_of(type(value))(value)


CANONICAL = json.JSONEncoder(default=_canonical, separators=(",", ":"), check_circular=False)
_iso = lru_cache(maxsize=4096)(date.isoformat)


@cache
def _values_of(kind: type) -> Callable[[object], Any]:
    """How to read the fields of a kind of fact; raises TypeError for what has none."""
    return attrgetter(*(one.name for one in fields(kind)))


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
        rulebook=c.rulebook,
    )
