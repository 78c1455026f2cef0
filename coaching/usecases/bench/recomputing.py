"""Times of the night's work: product against yardstick, batch against batch, a small squad against a large one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from django.db import transaction

from athletes.records import histories
from coaching.ledger import derived, staleness, store
from coaching.ledger.models import SquadBar
from coaching.science import versions
from coaching.usecases import at_hand, clock, conclude, recompute, window
from coaching.usecases.bench.naive import one_by_one
from coaching.usecases.bench.timing import Turns, Work, interleaved, ratio, summary

FIRST_REVISION = 1
SETTLED_DAYS = 3
"""Mornings behind today from which the incremental pass goes on: a session is often logged a day or two late."""
TOGETHER = 500
"""Athletes concluded at once where a squad is large, as a sweep does."""


def full(athlete_ids: Sequence[int], as_of: date) -> None:
    """Conclude for everybody from the rows alone and store."""
    for n in range(0, len(athlete_ids), TOGETHER):
        _save(conclude.conclude(list(athlete_ids[n : n + TOGETHER]), as_of))


def full_packed(athlete_ids: Sequence[int], as_of: date) -> None:
    """The same from packed histories, every filter from its first day: what a new version of the model asks for."""
    packed = derived.packed_of(dict.fromkeys(athlete_ids, FIRST_REVISION))
    _save(conclude.conclude_from(list(athlete_ids), as_of, conclude.AtHand(packed))[0])


def night(athlete_ids: Sequence[int], as_of: date) -> None:
    """What the evenings before left is gone on from, as when only the clock has moved."""
    _save(at_hand.conclude_due([staleness.Due(i, FIRST_REVISION) for i in athlete_ids], as_of))


def _save(rows: Mapping[int, store.AthleteRow]) -> None:
    now = clock.now()
    held = [staleness.Due(i, FIRST_REVISION) for i in rows]
    store.save([store.Stored(due, rows[due.athlete_id], now + timedelta(days=1)) for due in held], now)


def _evening_before(athlete_ids: Sequence[int], as_of: date) -> None:
    """Histories and filters kept on the evening before."""
    _forget(athlete_ids)
    derived.throw_away()
    night(athlete_ids, as_of - timedelta(days=1))


def _forget(athlete_ids: Sequence[int]) -> None:
    """A new night: no bar yet, and everybody's facts at their first revision."""
    SquadBar.objects.all().delete()
    staleness.forget(list(athlete_ids))
    with transaction.atomic():
        staleness.raise_for(athlete_ids, clock.now())


def passes(athlete_ids: Sequence[int], as_of: date, naive: int, turns: Turns) -> dict[str, Any]:
    """A pass over a squad in every way: the yardstick on a few, in full from rows and from packed histories, and a
    night from what evenings left. Costs are for one athlete; `slope` says how they grow with the squad.
    """
    ids, few = list(athlete_ids), list(athlete_ids)[:naive]
    evening = as_of if window.past_days(as_of) > window.PAST_DAYS else as_of - timedelta(days=1)
    _evening_before(ids, evening)
    works = {
        "naive": Work(lambda: one_by_one(few, evening), len(few)),
        "full": Work(lambda: full(ids, evening), len(ids), lambda: _forget(ids)),
        "full_packed": Work(lambda: full_packed(ids, evening), len(ids), lambda: _forget(ids)),
        "night": Work(lambda: night(ids, evening), len(ids), lambda: _forget(ids)),
    }
    found = summary(works, interleaved(works, turns))
    return {
        "times": found,
        "what": "reading, models, rules and storing",
        "naive_over_full": ratio("naive", "full", found),
        "naive_over_full_packed": ratio("naive", "full_packed", found),
        "full_over_night": ratio("full", "night", found),
        "full_packed_over_night": ratio("full_packed", "night", found),
    }


def chunked(athlete_ids: Sequence[int], as_of: date, batch: int, turns: Turns) -> dict[str, Any]:
    """A night claimed, computed and stored in batches, against the same night all at once without any claim."""
    ids = list(athlete_ids)
    works = {
        "chunked": Work(lambda: recompute.drain(batch=batch), len(ids), lambda: _forget(ids)),
        "inline": Work(lambda: night(ids, as_of), len(ids), lambda: _forget(ids)),
    }
    _forget(ids)
    night(ids, as_of)  # what this day adds to what is kept is there for both
    found = summary(works, interleaved(works, turns))
    return {"times": found, "batch": batch, "chunked_over_inline": ratio("chunked", "inline", found)}


def slope(athlete_ids: Sequence[int], as_of: date, turns: Turns) -> dict[str, Any]:
    """A full pass over everybody against one over a tenth of them; everybody's conclusions stand afterwards."""
    ids, tenth = list(athlete_ids), list(athlete_ids)[: max(len(athlete_ids) // 10, 1)]
    works = {
        "tenth": Work(lambda: full(tenth, as_of), len(tenth), lambda: _forget(tenth)),
        "everybody": Work(lambda: full(ids, as_of), len(ids), lambda: _forget(ids)),
    }
    found = summary(works, interleaved(works, turns))
    return {"times": found, "everybody_over_tenth": ratio("everybody", "tenth", found)}


def filters(ids: Sequence[int], as_of: date, turns: Turns) -> dict[str, Any]:
    """The filters alone, on arrays in memory: over the whole history, and over the last days from a kept morning;
    with `night_and_a_fortnight` also the chance of each of 14 days ahead.
    """
    known = histories.facts(ids, as_of)
    made = histories.arrays(list(known.values()), as_of, past_days=window.past_days(as_of), ahead_days=14)
    model, at = versions.get(versions.CURRENT), made.course.origin - SETTLED_DAYS
    _, state = model.filter(made.course, keep=at)
    start = model.footing(made.course, made.episodes, state, at)

    def fortnight() -> None:
        _, after = model.filter(made.course, footing=start)
        model.chance(made.course, made.episodes, state=after, first=made.course.origin)

    works = {
        "whole_history": Work(lambda: model.filter(made.course), len(known)),
        "last_days": Work(lambda: model.filter(made.course, footing=start), len(known)),
        "night_and_a_fortnight": Work(fortnight, len(known)),
    }
    found = summary(works, interleaved(works, turns.at_least(5)))
    return {"times": found, "whole_over_last_days": ratio("whole_history", "last_days", found)}
