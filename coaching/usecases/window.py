"""Which days of history a pass reads: from a day that moves only now and then, so that another can go on from it."""

from __future__ import annotations

from datetime import date

PAST_DAYS = 180
"""Days of history that the models read at least: longer than any memory they have, so that more would change nothing a
page shows."""
ANCHOR_DAYS = 28
"""The first day read moves by so many days at once."""
MORNING_DAYS = 14
"""Days between the mornings on which the filters are kept."""
SETTLED_DAYS = 3
"""The newest of these mornings lies at least so many days back: a session is often logged a day or two late."""


def past_days(as_of: date) -> int:
    """Days of history read on an evening: 180 to 207, so that the first is the same on 28 evenings running."""
    return PAST_DAYS + (as_of.toordinal() - PAST_DAYS) % ANCHOR_DAYS


def morning(as_of: date) -> int:
    """Proleptic ordinal of the newest morning on which the filters are to be kept."""
    return (as_of.toordinal() - SETTLED_DAYS) // MORNING_DAYS * MORNING_DAYS
