"""One athlete, as far as it is shared with the viewer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from athletes.records import access, queries_hand_over
from athletes.records.access import AthleteRef
from athletes.records.viewer import Viewer
from coaching.usecases.my_hands import in_crease
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown
from coaching.usecases.trial_squad import Tried, tried_by


def athlete_page(viewer: Viewer, code: str) -> AthleteShown:
    """The athlete's conclusions; raises NotFound for a stranger's, a hidden and a nonexistent athlete alike."""
    return show(viewer, [access.athlete_by_code(viewer, code, "level")])[0]


@dataclass(frozen=True)
class AthletePage:
    """What the athlete's page is made of. `tried` is None where there are no trials or check-ins are not shared, and of
    the viewer's own. `took` tells by episode that is not sound how many days the athlete's earlier ones of that kind
    took, in a crease or elsewhere, oldest first.
    """

    row: AthleteShown
    tried: Tried | None
    took: Mapping[str, tuple[int, ...]]


def athlete_whole(viewer: Viewer, code: str) -> AthletePage:
    """Raises NotFound as `athlete_page` does."""
    ref = access.athlete_by_code(viewer, code, "level")
    tried = tried_by([ref] if ref.id != viewer.own_athlete_id else [])
    row = show(viewer, [ref])[0]
    return AthletePage(row, tried.get(code), _took(ref, row))


def _took(ref: AthleteRef, row: AthleteShown) -> dict[str, tuple[int, ...]]:
    """Two queries where something is not sound, none else."""
    hurt = [one for one in row.picture.damage if one.stage != "sound"] if row.picture else []
    past = queries_hand_over.damage_of([ref], date.min, row.as_of)[ref.id] if hurt else None
    days: dict[tuple[str, bool], list[int]] = {}
    for one in past or ():
        if one.sound_on is not None:
            days.setdefault((one.kind, in_crease(one.site)), []).append((one.sound_on - one.noticed_on).days)
    return {one.episode_id: tuple(days.get((one.kind, in_crease(one.site)), ())) for one in hurt}
