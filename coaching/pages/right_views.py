"""The pages that hold a number to account: how forecasts turned out, and how one was made."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.records.viewer import Viewer
from coaching.pages.made_page import MadePage
from coaching.pages.right_page import RightPage
from coaching.pages.views import coaching_role
from coaching.usecases.how_made import how_made
from coaching.usecases.were_we_right import were_we_right


@coaching_role
@require_safe
@never_cache
def were_right(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """How the kept forecasts turned out."""
    return render(request, "coaching/right.html", {"page": RightPage(were_we_right(viewer)), "here": "right"})


@coaching_role
@require_safe
@never_cache
def made(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """How an athlete's number was made."""
    return render(request, "coaching/made.html", {"page": MadePage(how_made(viewer, code))})
