"""The season on one page."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.records.viewer import Viewer
from coaching.pages.asked import asked_day
from coaching.pages.season_shown import SeasonShown
from coaching.pages.views import coaching_role
from coaching.usecases.season import season_page


@coaching_role
@require_safe
@never_cache
def season(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Half a year of the squad."""
    page = SeasonShown(season_page(viewer, asked_day(request, "from")))
    return render(request, "coaching/season.html", {"page": page, "here": "season"})
