"""What spares a later pass work: packed histories and what filters held on a morning. Nothing is lost without them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.db import transaction

from coaching.ledger.many import upsert
from coaching.ledger.models import Footing, PackedHistory

MORNINGS = 2
"""Mornings kept of each athlete: the newest, and one to go back to where a fact of the last two weeks came late."""


@dataclass(frozen=True)
class Stood:
    """One athlete's filters on one morning."""

    athlete_id: int
    morning: date
    digest: str
    state: bytes


def packed_of(revisions: Mapping[int, int]) -> dict[int, bytes]:
    """Packed histories of the athletes, of exactly those revisions of their facts. One query."""
    rows = PackedHistory.objects.filter(athlete_id__in=list(revisions))
    found = rows.values_list("athlete_id", "input_rev", "packed")
    return {key: bytes(packed) for key, input_rev, packed in found if input_rev == revisions[key]}


def mornings_of(athlete_ids: Iterable[int], model: str) -> list[Stood]:
    """What the filters of the model held of the athletes, oldest morning first. One query."""
    rows = Footing.objects.filter(athlete_id__in=list(athlete_ids), model=model).order_by("morning")
    found = rows.values_list("athlete_id", "morning", "digest", "state")
    return [Stood(key, morning, digest, bytes(state)) for key, morning, digest, state in found]


def keep(packed: Mapping[int, bytes], revisions: Mapping[int, int], stood: Sequence[Stood], model: str) -> None:
    """Keep what is new; of each athlete only the newest mornings stay, and none of another model."""
    with transaction.atomic():
        histories = [
            PackedHistory(athlete_id=key, input_rev=revisions[key], packed=packed[key]) for key in sorted(packed)
        ]
        _upsert_histories(histories)
        upsert(
            [_row(one, model) for one in sorted(stood, key=lambda s: s.athlete_id)], ("athlete_id", "model", "morning")
        )
        _prune(stood, model)


def _upsert_histories(rows: Sequence[PackedHistory]) -> None:
    PackedHistory.objects.bulk_create(
        rows,
        update_conflicts=True,
        unique_fields=["athlete_id"],
        update_fields=["input_rev", "packed"],
    )


def _row(one: Stood, model: str) -> Footing:
    return Footing(athlete_id=one.athlete_id, model=model, morning=one.morning, digest=one.digest, state=one.state)


def _prune(stood: Sequence[Stood], model: str) -> None:
    if not stood:
        return
    mine = Footing.objects.filter(athlete_id__in=[one.athlete_id for one in stood])
    mine.exclude(model=model).delete()
    mornings = sorted(set(mine.values_list("morning", flat=True)), reverse=True)
    if len(mornings) > MORNINGS:
        mine.filter(morning__lt=mornings[MORNINGS - 1]).delete()


def throw_away() -> int:
    """Delete all of it; how many rows it was. The next pass over an athlete makes theirs anew."""
    return PackedHistory.objects.all().delete()[0] + Footing.objects.all().delete()[0]
