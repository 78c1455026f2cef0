"""Athletes by days: the grid that every array of a batch lies on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from coaching.science.inputs import Bools, Floats


@dataclass(frozen=True)
class Grid:
    """N athletes by T days; `origin` is the column of the day of the assessment."""

    athletes: int
    days: int
    first_ordinal: int
    origin: int

    def column(self, day: date) -> int:
        """May lie outside the grid."""
        return day.toordinal() - self.first_ordinal

    def holds(self, column: int) -> bool:
        return 0 <= column < self.days

    def nan(self) -> Floats:
        return np.full((self.athletes, self.days), np.nan)

    def false(self) -> Bools:
        return np.zeros((self.athletes, self.days), dtype=np.bool_)

    @property
    def past(self) -> Bools:
        return np.arange(self.days) <= self.origin

    def marked(self, rows: Iterable[tuple[int, int, Any]]) -> Bools:
        """True at each (row, column) named."""
        found = self.false()
        for row, column, _ in rows:
            found[row, column] = True
        return found

    def span(self, first: date, last: date) -> slice:
        """Columns of the days between two, both counted, cut to the grid."""
        return slice(max(self.column(first), 0), max(self.column(last) + 1, 0))
