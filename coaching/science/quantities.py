"""Every quantity of the skin model: one name, one unit, one range, one default and where it comes from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from coaching.science.quantity_rows import ROWS

Status = Literal["published", "common practice", "judgement", "assumption"]


@dataclass(frozen=True)
class Quantity:
    """A number that the model reads; `spread` is its prior sd, or the sd of its logarithm where `log` is
    true.
    """

    name: str
    unit: str
    low: float
    high: float
    default: float
    status: Status
    source: str
    spread: float | None = None
    log: bool = False


QUANTITIES: Mapping[str, Quantity] = MappingProxyType({row[0]: Quantity(*row) for row in ROWS})
"""The register: name -> quantity."""


@dataclass(frozen=True)
class Parameters:
    """Values of every quantity as one model version uses them; frozen, so that a version keeps its
    numbers.
    """

    values: Mapping[str, float]
    spreads: Mapping[str, float]

    def __getitem__(self, name: str) -> float:
        return self.values[name]

    def spread(self, name: str) -> float:
        return self.spreads[name]

    def changed(self, **values: float) -> Parameters:
        """Return a copy with other values.

        Parameters: values (float, unit of the quantity, by name).
        Returns: Parameters.
        Raises: KeyError for a name that is not registered.
        Assumes: the caller keeps inside the range of the quantity.
        Source: judgement (what-if runs and unit-scaling tests need it).
        """
        for name in values:
            QUANTITIES[name]
        return Parameters(MappingProxyType({**self.values, **values}), self.spreads)

    def respread(self, **spreads: float) -> Parameters:
        """Return a copy with other prior spreads.

        Parameters: spreads (float, unit of the quantity or of its logarithm, by name).
        Returns: Parameters.
        Raises: KeyError for a name without a spread.
        Assumes: spreads are positive.
        Source: judgement (a squad's own spread takes the place of the register's).
        """
        for name in spreads:
            self.spreads[name]
        return Parameters(self.values, MappingProxyType({**self.spreads, **spreads}))


def defaults() -> Parameters:
    """Return the defaults of the register.

    Parameters: none.
    Returns: Parameters, every registered quantity at its default.
    Raises: nothing.
    Assumes: nothing.
    Source: each row of the register names its own.
    """
    spreads = {name: row.spread for name, row in QUANTITIES.items() if row.spread is not None}
    return Parameters(
        MappingProxyType({name: row.default for name, row in QUANTITIES.items()}), MappingProxyType(spreads)
    )
