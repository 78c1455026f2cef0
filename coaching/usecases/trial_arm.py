"""What a day of a running trial asks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from athletes.records.queries_trials import DayRow


@dataclass(frozen=True)
class Arm:
    """What a day of a running trial asks. `use`: left and right hand, None while the order is hidden."""

    day: date
    block: int | None  # from 0; None between blocks
    use: tuple[bool, bool] | None
    bottle: int | None  # of a hidden trial, from 1
    read: bool  # the morning's answers count
    not_today: tuple[str, ...]
    told: DayRow
