"""Facts and numbers of athletes as they are this moment, with their squads' models and their clubs' rulebooks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from athletes.records import histories
from athletes.records.access import AthleteRef
from athletes.records.viewer import Viewer
from coaching.rules.case import Case
from coaching.rules.facts import AthleteFacts
from coaching.rules.numbers import AthleteNumbers
from coaching.rules.rulebook import Rulebook
from coaching.science import versions
from coaching.science.model import Model
from coaching.usecases import figuring, learned, rulebooks, window
from coaching.usecases.conclude import AHEAD_DAYS, FURTHEST_DAYS
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown


@dataclass(frozen=True)
class Now:
    """One athlete's facts and numbers as they are this moment, with the squad's model and the club's rulebook."""

    facts: AthleteFacts
    numbers: AthleteNumbers
    model: Model
    book: Rulebook

    def case(self, viewer: Viewer) -> Case:
        return Case(self.facts, self.numbers, viewer.today, self.book)


def as_now(viewer: Viewer, athlete: AthleteRef) -> Now:
    """One athlete's; the squad's bar as it was last concluded, since it takes the whole squad."""
    (shown,) = show(viewer, [athlete], course=False)
    return all_now(viewer, {athlete.id: shown})[athlete.id]


def all_now(viewer: Viewer, shown: Mapping[int, AthleteShown]) -> dict[int, Now]:
    """Those of several athletes by their keys, as `as_now`, in a fixed number of queries. Each squad's model runs once
    for all of its athletes, and none of them changes another's numbers.
    """
    ids, today = list(shown), viewer.today
    read = histories.facts(ids, today)
    facts = {key: _near(read[key], shown[key], viewer) for key in ids}
    books, found = rulebooks.books_for(ids, today), {}
    for model, keys in _by_model(ids):
        span_days = (window.past_days(today), AHEAD_DAYS)
        figured = figuring.figures([facts[key] for key in keys], today, model, span_days)
        found |= {key: Now(facts[key], n, model, books[key]) for key, (n, _) in zip(keys, figured, strict=True)}
    return {key: found[key] for key in ids}


def _by_model(ids: Sequence[int]) -> list[tuple[Model, list[int]]]:
    """The athletes by the model that their squad has taught."""
    fits = learned.of_athletes(ids, versions.CURRENT)
    groups: dict[int | None, list[int]] = {}
    for key in ids:
        groups.setdefault(fits[key].squad_id if key in fits else None, []).append(key)
    shipped = versions.get(versions.CURRENT)
    return [(learned.applied(shipped, fits.get(keys[0])), keys) for keys in groups.values()]


def _near(facts: AthleteFacts, shown: AthleteShown, viewer: Viewer) -> AthleteFacts:
    near = tuple(e for e in facts.entries if (e.last_day - viewer.today).days <= FURTHEST_DAYS)
    own = {one.event_id for one in near if one.bar_frac is not None}
    bars = [(one.bar_frac, one.bar_provisional) for one in shown.entries if one.event.code not in own]
    bar, provisional = bars[0] if bars else (facts.squad_bar_frac, True)
    return replace(facts, entries=near, squad_bar_frac=bar, squad_bar_provisional=provisional)
