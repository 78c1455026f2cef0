"""Times of the night's work: product against yardstick, batch against batch, a small squad against a large one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from django.db import transaction

from athletes.records import histories
from coaching.ledger import staleness, store
from coaching.ledger.models import SquadBar
from coaching.science import versions
from coaching.usecases import clock, conclude, recompute
from coaching.usecases.bench.naive import one_by_one
from coaching.usecases.bench.timing import Work, interleaved, ratio, summary

SETTLED_DAYS = 3
"""Mornings behind today from which the incremental pass goes on: a session is often logged a day or two late."""


def full(athlete_ids: Sequence[int], as_of: date) -> None:
    """Conclude for everybody and store, as a batch of the night does."""
    now, ids = clock.now(), list(athlete_ids)
    rows = conclude.conclude(ids, as_of)
    held = [staleness.Due(i, 1) for i in rows]
    store.save([store.Stored(due, rows[due.athlete_id], now + timedelta(days=1)) for due in held], now)


def _forget(athlete_ids: Sequence[int]) -> None:
    """A new night: no bar yet, and everybody's facts at their first revision."""
    SquadBar.objects.all().delete()
    staleness.forget(list(athlete_ids))
    with transaction.atomic():
        staleness.raise_for(athlete_ids, clock.now())


def against_naive(athlete_ids: Sequence[int], as_of: date, naive: int, repeats: int) -> dict[str, Any]:
    """Full recompute of all and of a tenth of them, against the yardstick on a few."""
    ids, few = list(athlete_ids), list(athlete_ids)[:naive]
    tenth = ids[: max(len(ids) // 10, 1)]
    works = {
        "naive": Work(lambda: one_by_one(few, as_of), len(few)),
        "full": Work(lambda: full(ids, as_of), len(ids), lambda: _forget(ids)),
        "full_of_a_tenth": Work(lambda: full(tenth, as_of), len(tenth), lambda: _forget(tenth)),
    }
    found = summary(works, interleaved(works, repeats))
    return {
        "times": found,
        "naive_over_full": ratio("naive", "full", found),
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
    """The filters over the whole history, against the same from what they held a few mornings ago."""
    known = histories.facts(athlete_ids, as_of)
    made = histories.arrays(list(known.values()), as_of, past_days=conclude.PAST_DAYS, ahead_days=1)
    model, at = versions.get(versions.CURRENT), made.course.origin - SETTLED_DAYS
    _, state = model.filter(made.course, keep=at)
    start = model.footing(made.course, made.episodes, state, at)
    works = {
        "whole_history": Work(lambda: model.filter(made.course), len(known)),
        "last_days": Work(lambda: model.filter(made.course, footing=start), len(known)),
    }
    found = summary(works, interleaved(works, max(repeats, 5)))
    return {
        "times": found,
        "what": "filters alone, on arrays in memory; reading, rules and storing are not part of it",
        "whole_over_last_days": ratio("whole_history", "last_days", found),
    }
