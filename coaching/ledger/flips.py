"""What was asked for and found on how much hangs on each assumption; days gone are dropped, they can be made again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from coaching.ledger.models import AssumptionFlip

ASKED = ""


def ask(squad_id: int, as_of: date, model: str) -> None:
    """Put the question once; earlier days of the squad go."""
    AssumptionFlip.objects.filter(squad_id=squad_id, as_of__lt=as_of).delete()
    AssumptionFlip.objects.get_or_create(squad_id=squad_id, as_of=as_of, model=model, name=ASKED)


def asked(since: date, model: str) -> list[tuple[int, date]]:
    """(squad, day) of questions from a day on, in the order they were put. One query."""
    rows = AssumptionFlip.objects.filter(as_of__gte=since, model=model, name=ASKED).order_by("id")
    return list(rows.values_list("squad_id", "as_of"))


def found(squad_id: int, as_of: date, model: str) -> Mapping[str, AssumptionFlip]:
    """By name of the assumption, the question itself included. One query."""
    return {row.name: row for row in AssumptionFlip.objects.filter(squad_id=squad_id, as_of=as_of, model=model)}


def save(row: AssumptionFlip) -> None:
    """Keep one; of two that computed the same, the first stands."""
    AssumptionFlip.objects.bulk_create([row], ignore_conflicts=True)
