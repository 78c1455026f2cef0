"""Named CHECK constraints, written once. BETWEEN is used for every range because it also refuses NaN and infinity."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import CheckConstraint, F, Q


def between(table: str, column: str, low: float, high: float) -> CheckConstraint:
    """The column is NULL or within [low, high]."""
    inside = Q(**{f"{column}__range": (low, high)}) | Q(**{f"{column}__isnull": True})
    return CheckConstraint(condition=inside, name=f"{table}_{column}_range")


def one_of(table: str, column: str, codes: Iterable[str]) -> CheckConstraint:
    """The column is empty or one of the codes."""
    return CheckConstraint(condition=Q(**{f"{column}__in": ["", *codes]}), name=f"{table}_{column}_code")


def code_required(table: str, column: str, codes: Iterable[str]) -> CheckConstraint:
    """The column is one of the codes."""
    return CheckConstraint(condition=Q(**{f"{column}__in": list(codes)}), name=f"{table}_{column}_code")


def in_order(table: str, first: str, last: str) -> CheckConstraint:
    """`first` is not after `last`, where `last` is known."""
    ordered = Q(**{f"{first}__lte": F(last)}) | Q(**{f"{last}__isnull": True})
    return CheckConstraint(condition=ordered, name=f"{table}_{first}_before_{last}")
