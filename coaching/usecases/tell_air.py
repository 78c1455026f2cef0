"""Tell the air of a place: one reading, or a file that is looked at before it is stored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from athletes.records import queries_air, writes_air
from athletes.records.air_file_units import FileUnits
from athletes.records.bundle.columns import Row
from athletes.records.bundle.report import BadBundle, BadRow
from athletes.records.errors import NotFound
from athletes.records.queries_air import PlaceFacts
from athletes.records.viewer import Viewer
from athletes.records.writes_air import AIR_OF_A_PLACE, StoredAir
from coaching.usecases import clock
from coaching.usecases.ask_forecast import service
from coaching.usecases.morning_list import COACHING
from coaching.usecases.shown_air import AirPage, units_of
from coaching.usecases.storing import storing


@dataclass(frozen=True)
class Preview:
    """What a file would store: its columns and rows, or every bad row."""

    names: tuple[str, ...]
    rows: tuple[Row, ...]
    bad: tuple[BadRow, ...]
    text: str = ""  # the file as it would be stored, in C and m/s
    units: Mapping[str, str] = field(default_factory=dict)  # columns that were told in another unit, with it


def air_page(viewer: Viewer, place_code: str) -> AirPage:
    """The page on which air is told. Raises NotFound."""
    place, refs = _place(viewer, place_code)
    zone = queries_air.zone_of(place.id, refs)
    today = clock.local_day(clock.now(), zone)
    return AirPage(place, zone, today, units_of(viewer), service(), queries_air.asked(place.id))


def record_reading(viewer: Viewer, place_code: str, values: Mapping[str, Any]) -> StoredAir:
    """Store one hour; `values` are columns of air.csv but for the place. Raises NotFound and BadInput."""
    place, _ = _place(viewer, place_code)
    return _stored(viewer, place, (writes_air.reading_row(values, clock.now()),))


def preview_air(viewer: Viewer, place_code: str, data: bytes, units: FileUnits = FileUnits()) -> Preview:  # noqa: B008
    """Look at a file; nothing is stored. `units` are those of columns that say none. Raises NotFound."""
    place, _ = _place(viewer, place_code)
    found = writes_air.read_air_file(data, place.code, clock.now(), units)
    text = "" if found.bad else found.si.data.decode("utf-8-sig")
    return Preview(AIR_OF_A_PLACE.names, found.rows, found.bad, text, found.si.units)


def record_air_file(viewer: Viewer, place_code: str, data: bytes) -> StoredAir:
    """Store a file: all of it or nothing. Raises NotFound, and BadBundle with every bad row."""
    place, _ = _place(viewer, place_code)
    found = writes_air.read_air_file(data, place.code, clock.now())
    if found.bad:
        raise BadBundle(found.bad)
    return _stored(viewer, place, found.rows)


def _stored(viewer: Viewer, place: PlaceFacts, rows: tuple[Row, ...]) -> StoredAir:
    at = clock.now()
    with storing(writes_air.athletes_at(place.id, at), at):
        return writes_air.store_air(place.id, rows, made_at=at, by=viewer.account_id)


def _place(viewer: Viewer, code: str) -> tuple[PlaceFacts, list[Any]]:
    if not (viewer.operator or viewer.roles() & COACHING):
        raise NotFound
    refs = queries_air.people(viewer)
    return queries_air.place(viewer, refs, code), refs
