"""The places of a viewer, a new one, and the units that air is read in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from athletes.records import access, queries_air, writes_air
from athletes.records.errors import NotFound
from athletes.records.viewer import Viewer
from coaching.usecases.morning_list import COACHING
from coaching.usecases.shown_air import PlacesList, units_of


def places_list(viewer: Viewer) -> PlacesList:
    """Every place that the viewer sees. Raises NotFound without a coaching role."""
    _coaching(viewer)
    return PlacesList(viewer.today, units_of(viewer), queries_air.places(viewer, queries_air.people(viewer)))


def own_places(viewer: Viewer, athlete_code: str | None = None) -> PlacesList:
    """Places where the athlete who looks climbs or competes, or a guardian's minor. Raises NotFound."""
    ref = access.athlete_to_check_in(viewer, athlete_code)
    return PlacesList(viewer.today, units_of(viewer), queries_air.places(viewer, [ref]))


def add_place(viewer: Viewer, values: Mapping[str, Any]) -> str:
    """Add a place, seen by who made it until somebody climbs there; its code. Raises NotFound and BadInput."""
    _coaching(viewer)
    if viewer.account_id is None:
        raise NotFound
    with transaction.atomic():
        return writes_air.make_place(values, viewer.account_id)


def choose_units(viewer: Viewer, temperature_unit: str, wind_unit: str) -> None:
    """Keep the units for this person; both are codes of the records. Raises NotFound for nobody."""
    if viewer.person_id is None:
        raise NotFound
    with transaction.atomic():
        writes_air.set_units(viewer.person_id, temperature_unit, wind_unit)


def _coaching(viewer: Viewer) -> None:
    if not (viewer.operator or viewer.roles() & COACHING):
        raise NotFound
