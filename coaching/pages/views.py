"""The coach's pages. Use-cases decide who sees what; here a closed door is a page that is not there."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.records.access_writing import TEAM
from athletes.records.errors import NotFound
from athletes.records.viewer import Viewer
from coaching.pages.athlete_sheet import Sheet
from coaching.pages.morning_page import written
from coaching.pages.morning_wish import Wish
from coaching.pages.rows import Page
from coaching.usecases.athlete_page import athlete_whole
from coaching.usecases.morning_list import morning_list
from coaching.usecases.waiting import waiting_of

COACHING = frozenset({"head-coach", "assistant", "medical", "manager"})

View = Callable[..., HttpResponse]


def coaching_role(view: View) -> View:
    """Let nobody through but people with a coaching role; everybody else meets a page that is not there."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: str, **kwargs: str) -> HttpResponse:
        viewer: Viewer | None = getattr(request, "viewer", None)
        if viewer is None or not viewer.roles() & COACHING:
            raise Http404
        try:
            return view(request, viewer, *args, **kwargs)
        except NotFound:
            raise Http404 from None

    return guarded


@coaching_role
@require_safe
@never_cache
def morning(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The morning list."""
    page = Page(morning_list(viewer), Wish.read(request.GET))
    return HttpResponse(written(page, request, roles=frozenset(viewer.roles())))


@coaching_role
@require_safe
@never_cache
def athlete(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """One athlete."""
    page = athlete_whole(viewer, code)
    sheet = Sheet(page.row, waiting_of(viewer, code, page.row), page.tried, page.took)
    shown = {"sheet": sheet, "may_overrule": bool(viewer.roles() & TEAM)}
    return render(request, "coaching/athlete.html", shown)
