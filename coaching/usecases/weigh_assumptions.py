"""How many of a squad's answers of the day would be others if one assumption stood at an end of its range.

Asked for by a coach, computed in the background one assumption at a time, so that a run that ends early loses nothing.
An answer is the level of one entry, or what one athlete may climb today. The bar of the squad and what was learned
from it stay as they are: only the one quantity moves.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from athletes.records import access, queries
from athletes.records.viewer import Grant, Viewer
from coaching.ledger import flips
from coaching.ledger.models import AssumptionFlip
from coaching.rules.decide import decide
from coaching.rules.facts import AthleteFacts
from coaching.rules.rulebook import Rulebook
from coaching.science import versions
from coaching.science.model import Model
from coaching.science.quantities import QUANTITIES, Quantity
from coaching.usecases import clock, conclude, figuring, learned, rulebooks
from coaching.usecases.following import follow

log = logging.getLogger(__name__)
BUDGET_S = 100.0
"""No assumption is begun later than this; the rest waits for the next call."""
MOST = 40
"""Athletes that are looked at; of a larger squad those with the nearest events."""

Answers = Mapping[tuple[int, str], str]


@dataclass(frozen=True)
class _Squad:
    facts: Mapping[int, AthleteFacts]
    books: Mapping[int, Rulebook]
    models: tuple[tuple[Model, tuple[int, ...]], ...]  # athletes by the model that holds for them
    as_of: date


def assumptions() -> tuple[Quantity, ...]:
    """Quantities of the register that rest on an assumption and could be otherwise."""
    return tuple(q for q in QUANTITIES.values() if q.status == "assumption" and q.low < q.high)


def weigh_due(budget_s: float = BUDGET_S) -> int:
    """Go on with what was asked for since yesterday; how many assumptions were weighed."""
    begun, count = clock.now(), 0
    for squad_id, as_of in flips.asked(begun.date() - timedelta(days=1), versions.CURRENT):
        try:
            count += _weigh(squad_id, as_of, begun + timedelta(seconds=budget_s))
        except Exception:
            log.exception("assumptions of squad %s could not be weighed", squad_id)
    return count


def _weigh(squad_id: int, as_of: date, until: datetime) -> int:
    done = flips.found(squad_id, as_of, versions.CURRENT)
    left = [q for q in assumptions() if q.name not in done]
    if not left or clock.now() >= until:
        return 0
    squad = _squad(squad_id, as_of)
    base, count = _answers(squad), 0
    for quantity in left:
        if clock.now() >= until:
            break
        ends = [_changed(squad, base, quantity.name, end) for end in (quantity.low, quantity.high)]
        flips.save(AssumptionFlip(
            squad_id=squad_id, as_of=as_of, model=versions.CURRENT, name=quantity.name, low_flips=ends[0],
            high_flips=ends[1], answers=len(base),
        ))  # fmt: skip
        count += 1
    return count


def _squad(squad_id: int, as_of: date) -> _Squad:
    """Those who share their level with the squad's coach: nobody else's answers are in any count."""
    coach = Viewer(None, None, as_of, (Grant("head-coach", squad_id),))
    members = sorted(queries.members(access.OPERATOR(as_of), [squad_id])[squad_id])
    shared = access.shared_classes(coach, members)
    found = conclude.concluded([i for i in members if "level" in shared[i]], as_of)
    chosen = sorted(found, key=lambda key: (_nearest(found[key].facts, as_of), key))[:MOST]
    facts = {key: found[key].facts for key in sorted(chosen)}
    groups = learned.by_model(list(facts), dict.fromkeys(facts, squad_id), versions.get(versions.CURRENT))
    models = tuple((model, tuple(ids)) for model, ids in groups)
    return _Squad(facts, rulebooks.books_for(list(facts), as_of), models, as_of)


def _nearest(facts: AthleteFacts, as_of: date) -> date:
    return min((e.first_day for e in facts.entries if e.last_day >= as_of), default=date.max)


def _answers(squad: _Squad, moved: Mapping[str, float] | None = None) -> Answers:
    """(athlete, event) -> level, and (athlete, "") -> what they may climb today."""
    said: dict[tuple[int, str], str] = {}
    for model, ids in squad.models:
        other = Model(model.version, model.parameters.changed(**moved)) if moved else model
        for key, level in _of_model(squad, other, ids):
            said[key] = level
    return said


def _of_model(squad: _Squad, model: Model, ids: Sequence[int]) -> list[tuple[tuple[int, str], str]]:
    said = []
    for group in follow({i: squad.facts[i] for i in ids}, squad.as_of, model, conclude.AHEAD_DAYS):
        for key, facts, (numbers, _days) in zip(
            group.keys, group.facts, figuring.figures_of(group, conclude.AHEAD_DAYS), strict=True
        ):
            found = decide(facts, numbers, squad.as_of, squad.books[key])
            said.append(((key, ""), found.today.may_climb))
            said += [((key, entry.event_id), entry.level) for entry in found.entries]
    return said


def _changed(squad: _Squad, base: Answers, name: str, end: float) -> int | None:
    """How many answers are others; None where the model refuses the value."""
    try:
        other = _answers(squad, {name: end})
    except ValueError:
        return None
    return sum(1 for key, said in base.items() if other.get(key) != said)
