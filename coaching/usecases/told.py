"""What a use-case that stored a fact says of it."""

from __future__ import annotations

from dataclasses import dataclass

from athletes.records.access import AthleteRef


@dataclass(frozen=True)
class Told:
    """The athlete it was told of; the key of the row where it has one; True where it corrected what stood."""

    athlete: AthleteRef
    key: int | str | None = None
    corrected: bool = False
