"""The athlete's own pages of places: where they climb and compete, and a day there for their own fingers."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext, ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from athletes.pages.asked import day as asked_day
from athletes.pages.wards import Whom, own_or_ward
from coaching.usecases.day_at_place import own_day
from coaching.usecases.places import choose_units, own_places
from coaching.wording import air_told
from coaching.wording.day_page import DaySeen
from coaching.wording.units_form import UnitsForm


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def places(request: HttpRequest, whom: Whom) -> HttpResponse:
    """Own places, by name, and the units in which whoever looks reads air."""
    found = own_places(whom.viewer, whom.code)
    posted = request.method == "POST"
    units = UnitsForm(request.POST) if posted else UnitsForm.of(found.units)
    if posted and units.is_valid():
        choose_units(whom.viewer, units.cleaned_data["temperature"], units.cleaned_data["wind"])
        messages.success(request, gettext("Units kept."))
        return redirect(f"{reverse('own-places')}{whom.query}")
    lines = found.lines
    n = len(lines)
    headline = ngettext("%(n)d place.", "%(n)d places.", n) % {"n": n} if n else gettext("No place yet.")
    told = [(one.place.code, one.place.name, air_told.about(one), air_told.known(one)) for one in lines]
    shown = {"lines": told, "headline": headline, "whom": whom, "here": "places", "units_form": units}
    return render(request, "athletes/places.html", shown, status=422 if posted else 200)


@own_or_ward
@require_safe
@never_cache
def place(request: HttpRequest, whom: Whom, code: str) -> HttpResponse:
    """A day at a place."""
    found = own_day(whom.viewer, code, asked_day(request.GET.get("day", "")), whom.code)
    return render(request, "athletes/place.html", {"page": DaySeen(found), "whom": whom, "here": "place"})
