"""Ask the forecast service for a place and keep what it says, with the time at which it was known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.conf import settings

from athletes.records import queries_air, writes_air
from athletes.records.errors import NotFound
from athletes.records.queries_air import PlaceFacts
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.forecasts import locationforecast
from coaching.usecases.forecasts.fetching import Failed, Limits, fetch
from coaching.usecases.morning_list import COACHING
from coaching.usecases.storing import storing

REST_S = 600
"""After so many failures at different places nobody asks for so long."""
MOST_FAILURES = 3


@dataclass(frozen=True)
class Answered:
    """What came of it: `code` is stored, off, no-position, early, resting, or how the question failed."""

    code: str
    hours: int = 0


def service() -> str:
    """The name of the service that may be asked; empty while nobody has switched it on."""
    return locationforecast.NAME if settings.TENPADS_FORECAST_CONTACT else ""


def ask_forecast(viewer: Viewer, place_code: str, limits: Limits = Limits()) -> Answered:  # noqa: B008 - frozen
    """Raises NotFound for a place that is not the viewer's."""
    if not (viewer.operator or viewer.roles() & COACHING):
        raise NotFound
    if viewer.operator:
        return ask_for(queries_air.place_by_code(place_code), None, limits)
    place = queries_air.place(viewer, queries_air.people(viewer), place_code)
    return ask_for(place, viewer.account_id, limits)


def ask_for(place: PlaceFacts, by: int | None, limits: Limits = Limits()) -> Answered:  # noqa: B008 - frozen
    """Ask once, outside any transaction; a failure is noted and changes no air."""
    now = clock.now()
    if refused := _refused(place, now):
        return Answered(refused)
    headers = {"User-Agent": f"Tenpads/0.1 {settings.TENPADS_FORECAST_CONTACT}", "Accept": "application/json"}
    try:
        found = fetch(locationforecast.question(settings.TENPADS_FORECAST_URL, place), headers, limits)
        issue = locationforecast.read(found, now)
    except Failed as failed:
        writes_air.note_asked(place.id, now, None, failed.code)
        return Answered(failed.code)
    with storing(writes_air.athletes_at(place.id, now), now):
        stored = writes_air.store_air(place.id, issue.rows, made_at=now, by=by)
        writes_air.note_asked(place.id, now, issue.not_before, "")
    return Answered("stored", stored.new)


def _refused(place: PlaceFacts, now: datetime) -> str:
    if not service():
        return "off"
    if place.lat is None or place.lon is None:
        return "no-position"
    last = queries_air.asked(place.id)
    if last and last.not_before and now < last.not_before:
        return "early"
    failed = queries_air.failures_since(now - timedelta(seconds=REST_S))
    return "resting" if failed >= MOST_FAILURES else ""
