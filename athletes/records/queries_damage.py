"""An athlete's damage and the looks at it, as frozen records. As in `queries_days`."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from athletes.records.access import AthleteRef
from athletes.records.errors import NotFound
from athletes.records.models import Damage, Look
from athletes.records.paging import Page, Wanted, newest_first, turned
from athletes.records.queries_days import need, on_file


@dataclass(frozen=True)
class DamageOnFile:
    episode_id: str
    site: str
    kind: str
    noticed_on: date
    depth: str | None
    length_mm: float | None
    width_mm: float | None
    worries: tuple[str, ...]
    cause: str | None


@dataclass(frozen=True)
class LookOnFile:
    id: int
    version: int
    episode_id: str
    local_date: date
    stage: str
    pain: int | None
    opens_on_pull: bool | None
    balm_night: bool | None
    taped: bool | None
    bled: bool | None


def damage(athlete: AthleteRef, wanted: Wanted) -> Page[DamageOnFile]:
    """Episodes, the last noticed first; the cause, which is free text, only where notes are shared."""
    need(athlete, "damage")
    page = newest_first(Damage.objects.filter(athlete_id=athlete.id), "noticed_on", wanted)
    return turned(page, lambda row: _episode(athlete, row))


def _episode(athlete: AthleteRef, row: Damage) -> DamageOnFile:
    cause = row.cause if "notes" in athlete.shared else None
    return on_file(DamageOnFile, row, episode_id=row.code, worries=tuple(row.worries), cause=cause)


def episode_key(athlete: AthleteRef, episode_id: str) -> int:
    """Key of an episode of the athlete. Raises NotFound."""
    need(athlete, "damage")
    found = Damage.objects.filter(athlete_id=athlete.id, code=episode_id).values_list("id", flat=True).first()
    if found is None:
        raise NotFound
    return int(found)


def looks(athlete: AthleteRef, episode_id: str, wanted: Wanted) -> Page[LookOnFile]:
    """Looks at one episode, newest first. Two queries."""
    key = episode_key(athlete, episode_id)
    page = newest_first(Look.objects.filter(damage_id=key), "local_date", wanted)
    return turned(page, lambda row: _look(row, episode_id))


def look(athlete: AthleteRef, look_id: int) -> LookOnFile:
    """One look at damage of the athlete. Raises NotFound."""
    need(athlete, "damage")
    row = Look.objects.select_related("damage").filter(id=look_id, damage__athlete_id=athlete.id).first()
    if row is None:
        raise NotFound
    return _look(row, row.damage.code)


def look_of_day(athlete: AthleteRef, episode_id: str, day: date) -> LookOnFile:
    """The look at an episode on one day. Raises NotFound."""
    rows = Look.objects.filter(damage__athlete_id=athlete.id, damage__code=episode_id, local_date=day)
    row = rows.order_by("id").last()
    if row is None:
        raise NotFound
    return _look(row, episode_id)


def _look(row: Look, episode_id: str) -> LookOnFile:
    return on_file(LookOnFile, row, episode_id=episode_id)
