"""What travels with athletes who came through the door: what each reacts to, and who their guardians are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from athletes.records.access import AthleteRef
from athletes.records.models import Athlete, Role


def sensitivities(athletes: Sequence[AthleteRef]) -> dict[str, tuple[str, ...]]:
    """What each reacts to, by code. The caller says of whom it may be told. One query, none for nobody."""
    told = [ref.id for ref in athletes]
    rows = Athlete.objects.filter(id__in=told).values_list("code", "sensitivities") if told else ()
    return {code: tuple(found) for code, found in rows}


def guardians(athlete_ids: Iterable[int]) -> dict[int, tuple[str, ...]]:
    """Names of the guardians of athletes who came through the door. One query."""
    found: dict[int, tuple[str, ...]] = {}
    rows = Role.objects.filter(role="guardian", athlete_id__in=list(athlete_ids)).order_by("person__name")
    for athlete_id, name in rows.values_list("athlete_id", "person__name"):
        found[athlete_id] = (*found.get(athlete_id, ()), name)
    return found
