"""Pages of places: the list, a place's day, and where its air is told."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from athletes.records.air_file_units import FileUnits
from athletes.records.bundle.report import BadBundle
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.pages.place_forms import FileUnitsForm, PlaceForm, ReadingForm
from coaching.pages.place_shown import AirTold, PlacesShown, PreviewShown
from coaching.pages.views import coaching_role
from coaching.usecases.ask_forecast import ask_forecast
from coaching.usecases.day_at_place import day_at_place
from coaching.usecases.places import add_place, choose_units, places_list
from coaching.usecases.shown_air import AirPage, units_of
from coaching.usecases.tell_air import air_page, preview_air, record_air_file, record_reading
from coaching.wording import air_told, problems
from coaching.wording.day_page import DaySeen
from coaching.wording.units_form import UnitsForm

LARGEST_FILE = 1_000_000


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def places(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Places, a form for a new one, and the units air is read in."""
    action = request.POST.get("action")
    form = PlaceForm(request.POST if action == "place" else None)
    units = UnitsForm(request.POST) if action == "units" else UnitsForm.of(units_of(viewer))
    if action == "units" and units.is_valid():
        choose_units(viewer, units.cleaned_data["temperature"], units.cleaned_data["wind"])
        messages.success(request, gettext("Units kept."))
        return redirect("places")
    if action == "place" and form.is_valid():
        try:
            return redirect("place", add_place(viewer, form.values()))
        except BadInput as refused:
            form.add_error(None, problems.problem(refused))
    shown = {
        "page": PlacesShown(places_list(viewer), request.GET.get("athlete", "")),
        "form": form,
        "units_form": units,
        "here": "places",
    }
    return render(request, "coaching/places.html", shown, status=422 if request.method == "POST" else 200)


@coaching_role
@require_safe
@never_cache
def place(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """A place's day, for one athlete or for anybody."""
    found = day_at_place(viewer, code, _day(request.GET.get("day", "")), request.GET.get("athlete") or None)
    return render(request, "coaching/place.html", {"page": DaySeen(found), "here": "place"})


def _day(text: str) -> date | None:
    """The day asked for; what is no day asks for today."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def air(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """Tell the air of a place: one reading, a file looked at first, or the forecast service asked."""
    page = air_page(viewer, code)
    if request.method != "POST":
        return _air(request, page, ReadingForm(page))
    told = {"one": _one, "preview": _preview, "store": _store, "ask": _ask}
    return told.get(request.POST.get("action", ""), _one)(request, viewer, page)


def _one(request: HttpRequest, viewer: Viewer, page: AirPage) -> HttpResponse:
    form = ReadingForm(page, request.POST)
    if form.is_valid():
        try:
            stored = record_reading(viewer, page.place.code, form.values())
        except BadInput as refused:
            form.add_error(None, problems.problem(refused))
            messages.error(request, problems.problem(refused))
        else:
            messages.success(request, air_told.stored(stored))
            return redirect("place-air", page.place.code)
    return _air(request, page, form, status=422)


def _preview(request: HttpRequest, viewer: Viewer, page: AirPage) -> HttpResponse:
    file = request.FILES.get("file")
    if file is None:
        return _air(request, page, ReadingForm(page), status=422, file_error=gettext("Choose a file."))
    units = FileUnitsForm(request.POST)
    chosen = FileUnits(*units.values()) if units.is_valid() else FileUnits()
    found = preview_air(viewer, page.place.code, file.read(LARGEST_FILE + 1), chosen)
    preview = PreviewShown(found, found.text)
    return _air(request, page, ReadingForm(page), 422 if found.bad else 200, preview=preview, file_units=units)


def _store(request: HttpRequest, viewer: Viewer, page: AirPage) -> HttpResponse:
    """The file as it was looked at, read again from the page: nothing of it was kept in between."""
    data = request.POST.get("text", "").encode("utf-8", "replace")
    try:
        stored = record_air_file(viewer, page.place.code, data)
    except BadBundle:
        found = PreviewShown(preview_air(viewer, page.place.code, data), "")
        return _air(request, page, ReadingForm(page), 422, preview=found)
    messages.success(request, air_told.stored(stored))
    return redirect("place", page.place.code)


def _ask(request: HttpRequest, viewer: Viewer, page: AirPage) -> HttpResponse:
    found = ask_forecast(viewer, page.place.code)
    say = messages.success if found.code == "stored" else messages.error
    say(request, air_told.answered(found))
    return redirect("place-air", page.place.code)


def _air(request: HttpRequest, page: AirPage, form: ReadingForm, status: int = 200, **more: Any) -> HttpResponse:
    shown = {"page": AirTold(page), "form": form, "here": "place", "file_units": FileUnitsForm(), **more}
    return render(request, "coaching/place_air.html", shown, status=status)
