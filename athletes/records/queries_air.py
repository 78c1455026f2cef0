"""Places and their air for a viewer. A place is seen by those whose squads climb or compete there, and by who made it.

Places carry no consent of their own, but where somebody climbs does: a session counts only where its athlete shares
check-ins with the viewer, an entry only where they share the level.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import numpy as np
from django.db.models import Max, Q
from numpy.typing import NDArray

from athletes.records import by_name
from athletes.records.access import AthleteRef, refs_visible
from athletes.records.errors import NotFound
from athletes.records.models import Air, Event, ForecastAsk, Place, Session, TypicalAir
from athletes.records.viewer import Viewer

Floats = NDArray[np.float64]
LEVEL_ONLY = frozenset({"level"})
MANAGER_ONLY = frozenset({"manager"})
PLACE_COLUMNS = (
    "id", "code", "name", "lat", "lon", "altitude_m", "kind", "rock", "face_deg", "skyline_deg", "coast_deg",
    "exposure",
)  # fmt: skip


@dataclass(frozen=True)
class PlaceFacts:
    """A place; None and empty: not known."""

    id: int
    code: str
    name: str
    lat: float | None
    lon: float | None
    altitude_m: float | None
    kind: str
    rock: str
    face_deg: float | None
    skyline_deg: float | None
    coast_deg: float | None
    exposure: str


@dataclass(frozen=True)
class PlaceLine:
    """A place of the list, with the newest hour observed and the newest issue of a forecast."""

    place: PlaceFacts
    observed_at: datetime | None
    forecast_of: datetime | None


@dataclass(frozen=True)
class Readings:
    """Air of a place, one row an hour known, in order; NaN not known. `known_s` is NaN where observed."""

    starts_s: Floats
    known_s: Floats
    temp_c: Floats
    rh_pct: Floats
    wind_m_s: Floats
    wind_from_deg: Floats
    rain_mm: Floats
    cloud_pct: Floats


@dataclass(frozen=True)
class TypicalHour:
    """Air of an hour (UTC) in a month of a typical year: 10 %, middle, 90 %."""

    temp_c: tuple[float, float, float]
    dew_c: tuple[float, float, float]
    wind_m_s: float | None
    source: str


def people(viewer: Viewer) -> list[AthleteRef]:
    """Those whose climbing the viewer may know of, by name; a manager is shown the level and nothing else."""
    refs = refs_visible(viewer, "level")
    if not viewer.operator and viewer.roles() == MANAGER_ONLY:
        return [ref for ref in refs if ref.shared & LEVEL_ONLY]
    return refs


def _seen(viewer: Viewer, refs: Sequence[AthleteRef]) -> Q:
    if viewer.operator:
        return Q()
    sharing = [] if viewer.roles() == MANAGER_ONLY else [ref.id for ref in refs if "checkins" in ref.shared]
    events = Event.objects.filter(entries__athlete_id__in=[ref.id for ref in refs], place__isnull=False)
    sessions = Session.objects.filter(athlete_id__in=sharing, place__isnull=False)
    by_climbing = Q(id__in=events.values("place_id")) | Q(id__in=sessions.values("place_id"))
    return by_climbing | Q(made_by_id=viewer.account_id) if viewer.account_id else by_climbing


def places(viewer: Viewer, refs: Sequence[AthleteRef]) -> tuple[PlaceLine, ...]:
    """Every place that the viewer sees, by name: one query."""
    rows = Place.objects.filter(_seen(viewer, refs)).annotate(
        observed=Max("air__starts_at", filter=Q(air__known_at__isnull=True)), issued=Max("air__known_at")
    )
    found = rows.values_list(*PLACE_COLUMNS, "observed", "issued")
    lines = [PlaceLine(PlaceFacts(*row[:-2]), row[-2], row[-1]) for row in found]
    return tuple(sorted(lines, key=lambda line: by_name.key(line.place.name, line.place.code)))


def place(viewer: Viewer, refs: Sequence[AthleteRef], code: str) -> PlaceFacts:
    """One place: one query. Raises NotFound alike where there is none and where it is not the viewer's."""
    row = Place.objects.filter(_seen(viewer, refs), code=code).values_list(*PLACE_COLUMNS).first()
    if row is None:
        raise NotFound
    return PlaceFacts(*row)


def every_place() -> tuple[PlaceFacts, ...]:
    """All places with a position where an event is to come, for whoever asks for forecasts on the machine itself."""
    rows = Place.objects.filter(lat__isnull=False, lon__isnull=False).order_by("code")
    return tuple(PlaceFacts(*row) for row in rows.values_list(*PLACE_COLUMNS))


def place_by_code(code: str) -> PlaceFacts:
    """A place for the operator. Raises NotFound."""
    row = Place.objects.filter(code=code).values_list(*PLACE_COLUMNS).first()
    if row is None:
        raise NotFound
    return PlaceFacts(*row)


def zone_of(place_id: int, refs: Sequence[AthleteRef]) -> str:
    """The zone of an event there, else that in which most of the people live, else UTC: one query."""
    found = Event.objects.filter(place_id=place_id).order_by("-first_day").values_list("timezone", flat=True).first()
    zones = [ref.timezone for ref in refs]
    return found or max(sorted(set(zones)), key=zones.count, default="UTC")


def readings(place_id: int, first: datetime, last: datetime, now: datetime) -> Readings:
    """Air from `first` to before `last` as known now: of one hour the observation, else the newest forecast."""
    known = Q(known_at__isnull=True, starts_at__lte=now) | Q(known_at__lte=now)
    rows = Air.objects.filter(known, place_id=place_id, starts_at__gte=first, starts_at__lt=last)
    best: dict[datetime, tuple[Any, ...]] = {}
    columns = ("starts_at", "known_at", "temp_c", "rh_pct", "wind_m_s", "wind_from_deg", "rain_mm", "cloud_pct")
    for row in rows.values_list(*columns):
        before = best.get(row[0])
        if before is None or _rank(row[1]) > _rank(before[1]):
            best[row[0]] = row
    table = [_numbers(best[at]) for at in sorted(best)]
    return Readings(*np.array(table, dtype=np.float64).reshape(-1, len(columns)).T)


def _rank(known_at: datetime | None) -> float:
    return np.inf if known_at is None else known_at.timestamp()


def _numbers(row: tuple[Any, ...]) -> list[float]:
    known = np.nan if row[1] is None else row[1].timestamp()
    return [row[0].timestamp(), known, *(np.nan if value is None else value for value in row[2:])]


def typical(place_id: int, months: Sequence[int]) -> dict[tuple[int, int], TypicalHour]:
    """The typical air of some months by month and hour (UTC): one query."""
    rows = TypicalAir.objects.filter(place_id=place_id, month__in=list(months))
    return {
        (row.month, row.hour_utc): TypicalHour(
            (row.temp_low_c, row.temp_c, row.temp_high_c), (row.dew_low_c, row.dew_c, row.dew_high_c),
            row.wind_m_s, row.source,
        )
        for row in rows
    }  # fmt: skip


@dataclass(frozen=True)
class Asked:
    """When a forecast was last asked for, how it failed, and before when nobody need ask again."""

    at: datetime
    not_before: datetime | None
    failure: str


def asked(place_id: int) -> Asked | None:
    """What became of the last question for this place."""
    row = ForecastAsk.objects.filter(place_id=place_id).values_list("asked_at", "not_before", "failure").first()
    return Asked(*row) if row else None


def failures_since(at: datetime) -> int:
    """At how many places the service has failed since an instant."""
    return ForecastAsk.objects.filter(asked_at__gte=at.astimezone(UTC)).exclude(failure="").count()
