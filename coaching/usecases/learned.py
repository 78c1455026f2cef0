"""The newest fit of each athlete's squad, and a model with what it taught."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from athletes.records import queries
from coaching.ledger import fits
from coaching.ledger.models import SquadFit
from coaching.science.model import Model


@dataclass(frozen=True)
class Learned:
    """A fit as conclusions and pages read it."""

    squad_id: int
    fitted_on: date
    values: tuple[tuple[str, float], ...]
    spreads: tuple[tuple[str, float], ...]
    answers: int

    @property
    def provisional(self) -> bool:
        """Too little was answered: the version's own quantities stand."""
        return not self.values


def of_athletes(athlete_ids: Sequence[int], model_id: str) -> dict[int, Learned]:
    """The newest fit of each athlete's first squad; athletes whose squad has none are left out. Two queries."""
    squads = {i: held[0] for i, held in queries.squads_by_athlete(athlete_ids).items()}
    found = {k: _read(row) for k, row in fits.newest(sorted(set(squads.values())), model_id).items()}
    return {i: found[squad] for i, squad in squads.items() if squad in found}


def by_model(athlete_ids: Sequence[int], squads: Mapping[int, int], model: Model) -> list[tuple[Model, list[int]]]:
    """The athletes by the model that their first squad has taught, the version's own among them. One query."""
    found = {k: _read(row) for k, row in fits.newest(sorted(set(squads.values())), model.version).items()}
    groups: dict[int, list[int]] = {}
    for athlete_id in athlete_ids:
        fit = found.get(squads.get(athlete_id, -1))
        groups.setdefault(-1 if fit is None or fit.provisional else fit.squad_id, []).append(athlete_id)
    return [(applied(model, found.get(squad_id)), ids) for squad_id, ids in sorted(groups.items())]


def applied(model: Model, fit: Learned | None) -> Model:
    """The model with a squad's own quantities; the same where there is no fit or too little was answered."""
    if fit is None or fit.provisional:
        return model
    p = model.parameters.changed(**dict(fit.values)).respread(**dict(fit.spreads))
    return Model(model.version, p)


def _read(row: SquadFit) -> Learned:
    values, spreads = (tuple(sorted(part.items())) for part in (row.values, row.spreads))
    return Learned(row.squad_id, row.fitted_on, values, spreads, row.answers)
