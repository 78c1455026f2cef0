"""An athlete's hands over time: two days side by side, kept in the address."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.records.viewer import Viewer
from coaching.pages.asked import asked_day
from coaching.pages.hands_shown import HandsPage
from coaching.pages.views import coaching_role
from coaching.usecases.hands_over_time import hands_over_time


@coaching_role
@require_safe
@never_cache
def hands(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """`then` and `now` are the two days, `turned=1` as somebody sees the hands who stands opposite."""
    found = hands_over_time(viewer, code, asked_day(request, "then"), asked_day(request, "now"))
    here = reverse("athlete-hands", args=[found.code])
    page = HandsPage(found, here, request.GET.get("turned") == "1", request.session.session_key)
    return render(request, "coaching/hands.html", {"page": page})
