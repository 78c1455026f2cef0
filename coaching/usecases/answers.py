"""What an athlete says in a check-in, as the pages and the API hand it over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class NewDamage:
    """Damage noticed in this check-in."""

    site: str
    kind: str
    depth: str | None = None


@dataclass(frozen=True)
class NewLook:
    """The athlete's own look at an open episode."""

    episode_id: str
    stage: str
    pain: int | None = None
    opens_on_pull: bool | None = None
    bled: bool | None = None


@dataclass(frozen=True)
class CheckInAnswers:
    """One morning's answers; None is not answered."""

    day: date
    rating_step: int | None = None
    reserve: int | None = None
    dampness: int | None = None
    hardness: int | None = None
    sting: int | None = None
    pull_pain: int | None = None
    agent_used: bool | None = None
    marks: tuple[tuple[str, str], ...] | None = None  # empty: said to be none
    red_flags: tuple[str, ...] | None = None  # empty: said to be none
    seconds: float | None = None
    note: str = ""
    new_damage: tuple[NewDamage, ...] = ()
    looks: tuple[NewLook, ...] = ()
