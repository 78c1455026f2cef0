"""Every row of one athlete as plain values, by table: what their own export holds beside the bundle."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from django.db.models import BinaryField, Model

from athletes.records import register
from athletes.records.erasing import Doomed, follow, keyed_without_reference
from athletes.records.models import Athlete, Role

DERIVED = frozenset({"ledger_packedhistory", "ledger_footing"})
"""Packed copies of rows that are in the export themselves."""


def own_rows(athlete_id: int) -> dict[str, list[dict[str, Any]]]:
    """Rows by name of the table, without what opens a door (the register's class `secret`) and without packed copies.

    A guardian's login and the rows of other people are theirs and not in it.
    """
    found: Doomed = defaultdict(set)
    follow(Athlete, {athlete_id}, found, [])
    for model, column in keyed_without_reference():
        found[model] |= set(model._default_manager.filter(**{column: athlete_id}).values_list("pk", flat=True))
    found[Role] = set(Role.objects.filter(athlete_id=athlete_id, role="athlete").values_list("pk", flat=True))
    tables = {model: keys for model, keys in found.items() if keys and model._meta.db_table not in DERIVED}
    return {
        model._meta.db_table: list(model._base_manager.filter(pk__in=keys).order_by("pk").values(*_columns(model)))
        for model, keys in sorted(tables.items(), key=lambda one: one[0]._meta.db_table)
    }


def _columns(model: type[Model]) -> list[str]:
    return [
        field.attname
        for field in model._meta.concrete_fields
        if not isinstance(field, BinaryField) and not register.is_secret(model._meta.db_table, field.column)
    ]
