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
from coaching.usecases.bench.timing import Work, interleaved, ratio, summary

FIRST_REVISION = 1
SETTLED_DAYS = 3
"""Mornings behind today from which the incremental pass goes on: a session is often logged a day or two late."""


def full(athlete_ids: Sequence[int], as_of: date) -> None:
    """Conclude for everybody from the rows alone and store."""
    _save(conclude.conclude(list(athlete_ids), as_of))


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


def against_naive(athlete_ids: Sequence[int], as_of: date, naive: int, repeats: int) -> dict[str, Any]:
    """Full recompute of all, from rows and from packed histories, and of a tenth of them; the yardstick on a few."""
    _evening_before(athlete_ids, as_of)
    ids, few = list(athlete_ids), list(athlete_ids)[:naive]
    tenth = ids[: max(len(ids) // 10, 1)]
    works = {
        "naive": Work(lambda: one_by_one(few, as_of), len(few)),
        "full": Work(lambda: full(ids, as_of), len(ids), lambda: _forget(ids)),
        "full_packed": Work(lambda: full_packed(ids, as_of), len(ids), lambda: _forget(ids)),
        "full_of_a_tenth": Work(lambda: full(tenth, as_of), len(tenth), lambda: _forget(tenth)),
    }
    found = summary(works, interleaved(works, repeats))
    return {
        "times": found,
        "naive_over_full": ratio("naive", "full", found),
        "naive_over_full_packed": ratio("naive", "full_packed", found),
        "slope": ratio("full", "full_of_a_tenth", found),
    }


def chunked(athlete_ids: Sequence[int], as_of: date, batch: int, repeats: int) -> dict[str, Any]:
    """Everybody claimed, computed and stored in batches, against all at once without any claim."""
    ids = list(athlete_ids)
    works = {
        "chunked": Work(lambda: recompute.drain(batch=batch), len(ids), lambda: _forget(ids)),
        "inline": Work(lambda: full(ids, as_of), len(ids), lambda: _forget(ids)),
    }
    found = summary(works, interleaved(works, repeats))
    return {"times": found, "batch": batch, "chunked_over_inline": ratio("chunked", "inline", found)}


def incremental(athlete_ids: Sequence[int], as_of: date, repeats: int) -> dict[str, Any]:
    """A night from what evenings left against a full pass, whole and of the filters alone."""
    ids = list(athlete_ids)
    evening = as_of if window.past_days(as_of) > window.PAST_DAYS else as_of - timedelta(days=1)
    _evening_before(ids, evening)
    works = {
        "full": Work(lambda: full(ids, evening), len(ids), lambda: _forget(ids)),
        "full_packed": Work(lambda: full_packed(ids, evening), len(ids), lambda: _forget(ids)),
        "night": Work(lambda: night(ids, evening), len(ids), lambda: _forget(ids)),
    }
    found = summary(works, interleaved(works, repeats))
    filters = _filters(ids, as_of)
    alone = summary(filters, interleaved(filters, max(repeats, 5)))
    return {
        "times": found | alone,
        "what": "full and night: reading, models, rules and storing; whole_history and last_days: the filters alone, "
        "on arrays in memory; night_and_a_fortnight: those of the last days and the chance of each of 14 days ahead",
        "full_over_night": ratio("full", "night", found),
        "full_packed_over_night": ratio("full_packed", "night", found),
        "whole_over_last_days": ratio("whole_history", "last_days", alone),
    }


def _filters(ids: Sequence[int], as_of: date) -> dict[str, Work]:
    known = histories.facts(ids, as_of)
    made = histories.arrays(list(known.values()), as_of, past_days=window.past_days(as_of), ahead_days=14)
    model, at = versions.get(versions.CURRENT), made.course.origin - SETTLED_DAYS
    _, state = model.filter(made.course, keep=at)
    start = model.footing(made.course, made.episodes, state, at)

    def fortnight() -> None:
        _, after = model.filter(made.course, footing=start)
        model.chance(made.course, made.episodes, state=after, first=made.course.origin)

    return {
        "whole_history": Work(lambda: model.filter(made.course), len(known)),
        "last_days": Work(lambda: model.filter(made.course, footing=start), len(known)),
        "night_and_a_fortnight": Work(fortnight, len(known)),
    }
