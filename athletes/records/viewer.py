"""Who is asking. A viewer is made once a request by the door, and every read takes it first."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True)
class Grant:
    """One role: in a squad, and over one athlete where the role is `athlete` or `guardian`."""

    role: str
    squad_id: int | None
    athlete_id: int | None = None


@dataclass(frozen=True)
class Viewer:
    """A signed-in person with their roles on one day; `operator` is the command line on the machine itself.
    The units are those the person reads air in; language and first weekday are "" where they chose none.
    """

    account_id: int | None
    person_id: int | None
    today: date
    grants: tuple[Grant, ...] = field(default=())
    operator: bool = False
    temperature_unit: str = "C"
    wind_unit: str = "m/s"
    language: str = ""
    first_weekday: str = ""

    @property
    def own_athlete_id(self) -> int | None:
        return next((g.athlete_id for g in self.grants if g.role == "athlete"), None)

    def roles(self) -> frozenset[str]:
        return frozenset(g.role for g in self.grants)
