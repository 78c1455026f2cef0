"""What is not known: the assumptions under today's answers, by how many of them would be others."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from athletes.records import queries_squad
from athletes.records.errors import NotFound
from athletes.records.viewer import Viewer
from coaching.ledger import flips
from coaching.science import versions
from coaching.science.quantities import QUANTITIES, Quantity
from coaching.usecases.weigh_assumptions import assumptions


@dataclass(frozen=True)
class Weighed:
    """One assumption, and how many answers would be others with the lowest or highest value of its range."""

    quantity: Quantity
    low_flips: int | None  # None: the model cannot be run there
    high_flips: int | None

    @property
    def most(self) -> int:
        return max(self.low_flips or 0, self.high_flips or 0)


@dataclass(frozen=True)
class SquadUnknowns:
    """`weighed`: most first; `left`: assumptions not weighed yet."""

    code: str
    name: str
    asked: bool
    answers: int
    weighed: tuple[Weighed, ...]
    left: int


@dataclass(frozen=True)
class NotKnown:
    as_of: date
    model: str
    squads: tuple[SquadUnknowns, ...]
    assumed: int
    registered: int


def not_known(viewer: Viewer) -> NotKnown:
    """For the squads that the viewer coaches; to others of the team the general part alone."""
    squads = tuple(_squad(squad.id, squad.code, squad.name, viewer.today) for squad in queries_squad.squads_run(viewer))
    return NotKnown(viewer.today, versions.CURRENT, squads, len(assumptions()), len(QUANTITIES))


def _squad(squad_id: int, code: str, name: str, as_of: date) -> SquadUnknowns:
    found = flips.found(squad_id, as_of, versions.CURRENT)
    rows = [(q, found[q.name]) for q in assumptions() if q.name in found]
    weighed = sorted((Weighed(q, row.low_flips, row.high_flips) for q, row in rows), key=lambda one: -one.most)
    answers = max((row.answers for _, row in rows), default=0)
    return SquadUnknowns(code, name, flips.ASKED in found, answers, tuple(weighed), len(assumptions()) - len(rows))


def ask(viewer: Viewer, squad_code: str) -> None:
    """Have a squad's assumptions weighed for today. Raises NotFound for whoever does not coach it."""
    for squad in queries_squad.squads_run(viewer):
        if squad.code == squad_code:
            flips.ask(squad.id, viewer.today, versions.CURRENT)
            return
    raise NotFound
