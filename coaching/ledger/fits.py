"""What squads have taught: kept by version and period, the newest counts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.db.models import OuterRef, Subquery

from coaching.ledger.models import SquadFit


def save(row: SquadFit) -> None:
    """Keep a fit; the first of a period stands."""
    SquadFit.objects.bulk_create([row], ignore_conflicts=True)


def fitted(model: str, fitted_on: date) -> set[int]:
    """Keys of the squads whose fit of that period stands."""
    return set(SquadFit.objects.filter(model=model, fitted_on=fitted_on).values_list("squad_id", flat=True))


def newest(squad_ids: Sequence[int], model: str) -> dict[int, SquadFit]:
    """The newest fit of each squad for a model version. One query."""
    latest = SquadFit.objects.filter(squad_id=OuterRef("squad_id"), model=model).order_by("-fitted_on")
    rows = SquadFit.objects.filter(
        squad_id__in=squad_ids, model=model, fitted_on=Subquery(latest.values("fitted_on")[:1])
    )
    return {row.squad_id: row for row in rows}
