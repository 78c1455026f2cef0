"""How a number was made, as its template reads it."""

from __future__ import annotations

from dataclasses import dataclass

from coaching.usecases.shown_made import MadeShown
from coaching.wording import made, quantities


@dataclass(frozen=True)
class QuantityLine:
    name: str
    value: str
    borders: str
    source: str


@dataclass(frozen=True)
class MadePage:
    """The whole page."""

    found: MadeShown

    @property
    def headline(self) -> str:
        return made.headline(self.found)

    @property
    def spread(self) -> str:
        return made.spread(self.found)

    @property
    def inputs(self) -> list[tuple[str, str, str]]:
        return [made.input_row(one, self.found.as_of) for one in self.found.inputs]

    @property
    def winner(self) -> str:
        return made.winner(self.found)

    @property
    def helped(self) -> list[tuple[str, str, str]]:
        return [made.helped(one) for one in self.found.helped]

    @property
    def not_knowable(self) -> list[str]:
        return [str(said) for said in quantities.NOT_KNOWABLE.values()]

    @property
    def fitted(self) -> str:
        return made.fitted(self.found)

    @property
    def groups(self) -> list[tuple[str, list[QuantityLine]]]:
        """Quantities by what they belong to, in the order of the register."""
        lines: list[list[QuantityLine]] = [[] for _ in quantities.GROUPS]
        for one in self.found.quantities:
            said = (quantities.value(one), quantities.borders(one), quantities.source(one))
            lines[quantities.group(one.name)].append(QuantityLine(quantities.name(one.name), *said))
        return [(str(words), lines[place]) for place, (words, _) in enumerate(quantities.GROUPS) if lines[place]]
