"""Append changes of the rulebook and overruled pauses. As in `writes`: only use-cases call this."""

from __future__ import annotations

from typing import Any

from athletes.records.models import OverruledPause, RuleChange


def store_rule_change(**values: Any) -> int:
    """Append a club's change and return its key."""
    return int(RuleChange.objects.create(**values).pk)


def store_overruled(**values: Any) -> int:
    """Append an overruled pause and return its key."""
    return int(OverruledPause.objects.create(**values).pk)
