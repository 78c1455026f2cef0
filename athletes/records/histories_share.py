"""The share of some athletes in the arrays of a batch: the same numbers as if they had been made for these alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any, TypeVar

import numpy as np

from athletes.records.histories_arrays import Arrays
from coaching.science.inputs import Bools, Episodes, Ints, Targets, TriedAgents

Table = TypeVar("Table")


def share(made: Arrays, rows: Sequence[int]) -> Arrays:
    """Arrays of the athletes in `rows` (ascending), on the days of the whole batch.

    The days stay as long as the furthest event of the batch asks; more days than an athlete needs show in no figure.
    """
    kept = np.asarray(rows, dtype=np.int64)
    new = np.full(made.course.athletes, -1, dtype=np.int64)
    new[kept] = np.arange(len(kept))
    own = new[made.episodes.athlete] >= 0
    finished = _some(made.episodes.finished, new[made.episodes.finished.athlete] >= 0)
    finished = replace(finished, athlete=new[finished.athlete])
    episodes = _of(made.episodes.rows(np.flatnonzero(own)), new)
    wanted = new[made.targets.athlete] >= 0
    return Arrays(
        course=replace(_some(made.course, kept), tried=_tried(made.course.tried, new)),
        episodes=replace(episodes, finished=finished),
        targets=_targets(made.targets, wanted, own, new),
        athlete_ids=tuple(made.athlete_ids[row] for row in rows),
        event_ids=_where(made.event_ids, wanted),
        episode_ids=_where(made.episode_ids, own),
    )


def _some(table: Table, at: Ints | Bools) -> Table:
    """The rows of every array of a table; what is no array is the same for all."""
    held: dict[str, Any] = {one.name: getattr(table, one.name) for one in fields(table)}  # type: ignore[arg-type]
    return type(table)(**{name: v[at] if isinstance(v, np.ndarray) else v for name, v in held.items()})


def _tried(tried: TriedAgents, new: Ints) -> TriedAgents:
    some = _some(tried, new[tried.athlete] >= 0)
    return replace(some, athlete=new[some.athlete])


def _of(episodes: Episodes, new: Ints) -> Episodes:
    return replace(episodes, athlete=new[episodes.athlete])


def _targets(targets: Targets, wanted: Bools, own: Bools, new: Ints) -> Targets:
    some = _some(targets, wanted)
    return replace(some, athlete=new[some.athlete], weight=some.weight[:, own])


def _where(names: Sequence[str], at: Bools) -> tuple[str, ...]:
    return tuple(name for name, here in zip(names, at.tolist(), strict=True) if here)
