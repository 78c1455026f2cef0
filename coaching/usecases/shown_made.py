"""How one number was made, as the page of it is shown: frozen values, already cut to what the viewer may see."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coaching.science.making import Made


@dataclass(frozen=True)
class InputShown:
    """One kind of fact that was read: how many, and the newest."""

    code: str
    count: int
    newest: date | None


@dataclass(frozen=True)
class Helped:
    """One change of the plan and the range of what it does to the chance; rank 1 is the best."""

    option: str
    rank: int
    low: float
    high: float


@dataclass(frozen=True)
class MadeShown:
    """The whole page. `shared` False: check-ins are not shared, and nothing of them is here."""

    code: str
    name: str
    as_of: date
    model: str
    rulebook: str
    shared: bool
    stopped: bool  # a doctor first: no number
    event_name: str | None = None
    p: float | None = None
    low: float | None = None
    high: float | None = None
    inputs: tuple[InputShown, ...] = ()
    helped: tuple[Helped, ...] = ()
    clear: bool = False
    quantities: tuple[Made, ...] = ()
    fitted_on: date | None = None  # None: no fit of this squad yet
    provisional: bool = True
    answers: int = 0
