"""What was concluded of athletes, dropped with the facts that it came from."""

from __future__ import annotations

from collections.abc import Sequence

from coaching.ledger.models import (
    AssumptionFlip,
    Conclusion,
    EntryConclusion,
    Footing,
    KeptForecast,
    PackedHistory,
    SquadBar,
    SquadFit,
)

TABLES = (Conclusion, EntryConclusion, KeptForecast, PackedHistory, Footing)


def of_athletes(athlete_ids: Sequence[int]) -> int:
    """Drop it all, what was forecast and kept included; returns how many rows went."""
    found = (model.objects.filter(athlete_id__in=athlete_ids).delete()[0] for model in TABLES)
    return sum(found) if athlete_ids else 0


def of_squad(squad_id: int) -> None:
    """Drop what was concluded of the squad as such."""
    for model in (SquadBar, SquadFit, AssumptionFlip):
        model.objects.filter(squad_id=squad_id).delete()
