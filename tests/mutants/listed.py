"""Faults that no test can see, each with the reason: the number that they change is not one that anybody gets."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tests.mutants.mutate import Mutant, mutants, source

LIST = Path(__file__).with_name("no_other_numbers.toml")


@dataclass(frozen=True)
class Listed:
    """A fault by what it does and where; lines may move, their words may not. The `nth` of those alike in a line."""

    module: str
    function: str
    what: str
    text: str
    reason: str
    nth: int = 1

    def means(self, mutant: Mutant) -> bool:
        here = (mutant.module, mutant.function, mutant.what, line_of(mutant))
        return here == (self.module, self.function, self.what, self.text) and nth_of(mutant) == self.nth


def line_of(mutant: Mutant) -> str:
    """The words of the line in which a fault lies."""
    return source(mutant.module).splitlines()[mutant.line - 1].strip()


def nth_of(mutant: Mutant) -> int:
    """Its place among the faults of its module whose words are the same."""
    return alike(mutant.module)[words_of(mutant)].index(mutant.place) + 1


def words_of(mutant: Mutant) -> str:
    """What it does and where, free of the number of the line."""
    return f"{mutant.module} {mutant.function} {mutant.what} {line_of(mutant)}"


@cache
def alike(module: str) -> dict[str, list[int]]:
    found: dict[str, list[int]] = {}
    for one in mutants(module):
        found.setdefault(words_of(one), []).append(one.place)
    return found


def listed() -> list[Listed]:
    return rows_of(LIST)


def rows_of(path: Path) -> list[Listed]:
    """The faults that a list names."""
    return [Listed(**row) for row in tomllib.loads(path.read_text(encoding="utf-8")).get("fault", [])]
