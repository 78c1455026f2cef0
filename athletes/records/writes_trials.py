"""Add rows of trials. As in `writes`: only use-cases call this."""

from __future__ import annotations

from typing import Any

from athletes.records.models import Trial, TrialDay, TrialEnd, TrialPatch


def store_trial(**values: Any) -> int:
    """Add a trial and return its key."""
    return int(Trial.objects.create(**values).pk)


def store_trial_day(**values: Any) -> int:
    """Add what was told of a day and return its key."""
    return int(TrialDay.objects.create(**values).pk)


def store_trial_end(**values: Any) -> int:
    """Add how it ended and return its key. Raises IntegrityError where it has ended already."""
    return int(TrialEnd.objects.create(**values).pk)


def store_patch(**values: Any) -> int:
    """Add a small spot that was tried and return its key."""
    return int(TrialPatch.objects.create(**values).pk)
