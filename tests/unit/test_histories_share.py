"""The share of some athletes in the arrays of a batch is what would have been made for these alone."""

from __future__ import annotations

from dataclasses import fields
from datetime import date, timedelta

import numpy as np
import pytest

from athletes.records.histories_arrays import Arrays, arrays
from athletes.records.histories_share import share
from coaching.rules.facts import (
    AthleteFacts,
    CareFact,
    CheckInFact,
    EntryFact,
    EpisodeFact,
    LookFact,
    SessionFact,
    TriedFact,
)

AS_OF = date(2027, 3, 11)
AHEAD = 40


def ago(days: int) -> date:
    return AS_OF - timedelta(days=days)


def episode(code: str, site: str, since: int, *stages: str) -> EpisodeFact:
    looks = tuple(LookFact(ago(since - 1 - n), stage) for n, stage in enumerate(stages))
    return EpisodeFact(code, site, "split", ago(since), "deep", looks=looks)


def entry(event: str, ahead: int, kind: str = "competition") -> EntryFact:
    first = AS_OF + timedelta(days=ahead)
    return EntryFact(event, event, kind, first, first + timedelta(days=1), "UTC", "plastic")


def facts() -> list[AthleteFacts]:
    """Five who differ in all that has rows of its own: damage open and healed, events, answers, care, none of it."""
    return [
        AthleteFacts("a0", 20, "UTC"),
        AthleteFacts(
            "a1", 20, "UTC",
            checkins=(CheckInFact(ago(3), 7, 4, 5, 1, None, None),),
            episodes=(
                episode("d1", "R-middle-tip-crease", 9, "open"),
                episode("d2", "L-ring-tip", 12, "closing", "sound"),
            ),
            entries=(entry("e1", 12), entry("e2", 30, "trip")),
        ),
        AthleteFacts(
            "a2", 17, "UTC", sessions=(SessionFact(ago(2), False, 60, 5, "fine rock"),), entries=(entry("e1", 12),)
        ),
        AthleteFacts(
            "a3", 30, "UTC",
            episodes=(
                episode("d3", "L-index-tip", 5, "open", "closing"),
                episode("d4", "R-index-tip", 20, "open", "sound"),
            ),
            entries=(entry("e2", 30, "trip"),),
            tried=(TriedFact(ago(4), "methenamine spray", "dampness", "works", 2.0, 0.8),),
            care=(CareFact(ago(1), "done", "dry", "aluminium solution", "20 %", "night", 1),),
        ),
        AthleteFacts("a4", 25, "UTC", episodes=(episode("d5", "R-ring-tip", 4, "open"),), entries=(entry("e3", 2),)),
    ]  # fmt: skip


def made(some: list[AthleteFacts]) -> Arrays:
    return arrays(some, AS_OF, past_days=30, ahead_days=AHEAD)


def equal(a: object, b: object) -> bool:
    if isinstance(a, np.ndarray):
        return a.dtype == b.dtype and np.array_equal(a, b, equal_nan=a.dtype.kind == "f")  # type: ignore[attr-defined]
    return a == b


@pytest.mark.parametrize("rows", [[1], [0, 2], [1, 3, 4], [0, 1, 2, 3, 4], [3]])
def test_a_share_is_what_would_be_made_for_these_alone(rows: list[int]) -> None:
    everybody = facts()
    some, alone = share(made(everybody), rows), made([everybody[row] for row in rows])
    for name in ("athlete_ids", "event_ids", "episode_ids"):
        assert getattr(some, name) == getattr(alone, name), name
    for table in ("course", "episodes", "targets"):
        a, b = getattr(some, table), getattr(alone, table)
        for one in fields(a):
            if one.name not in ("finished", "tried"):
                assert equal(getattr(a, one.name), getattr(b, one.name)), (table, one.name)
    within = ((some.episodes.finished, alone.episodes.finished), (some.course.tried, alone.course.tried))
    for own, lone in within:
        for one in fields(own):
            assert equal(getattr(own, one.name), getattr(lone, one.name)), one.name


def test_the_cast_has_rows_of_every_kind() -> None:
    """Else the comparison above could hold of nothing."""
    whole = made(facts())
    assert len(whole.episodes.athlete) == 3 and len(whole.episodes.finished.athlete) == 2
    assert len(whole.course.tried.athlete) == 1
    assert whole.targets.weight.shape == (5, 3) and (whole.targets.weight > 0).any()
