"""The page of what is not known, one tap from every other."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.records.errors import NotFound
from athletes.records.viewer import Viewer
from coaching.pages.views import coaching_role
from coaching.usecases.not_known import SquadUnknowns, ask, not_known
from coaching.wording import not_known as words
from coaching.wording import quantities

SHOWN = 12
"""Assumptions that are listed at once; the rest is folded."""


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def unknowns(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """What nobody has published, and what today's answers hang on; a POST has a squad's weighed for today."""
    if request.method == "POST":
        try:
            ask(viewer, request.POST.get("squad", ""))
        except NotFound:
            raise Http404 from None
        messages.success(request, gettext("Asked. It takes some minutes; this page shows what is done so far."))
        return redirect("not-known")
    found = not_known(viewer)
    shown = {
        "here": "not-known", "found": found,
        "headline": words.headline(found.assumed, found.registered),
        "unpublished": words.UNPUBLISHED, "not_knowable": quantities.NOT_KNOWABLE.values(),
        "squads": [_squad(squad) for squad in found.squads],
    }  # fmt: skip
    return render(request, "coaching/not_known.html", shown)


def _squad(squad: SquadUnknowns) -> dict[str, object]:
    lines = [
        (quantities.name(one.quantity.name), *words.line(one, squad.answers), one.quantity.source)
        for one in squad.weighed
        if one.most
    ]
    return {
        "code": squad.code, "name": squad.name, "asked": squad.asked, "answers": squad.answers,
        "progress": words.progress(squad), "moved": words.moved(squad) if squad.weighed else "",
        "lines": lines[:SHOWN], "more": lines[SHOWN:],
        "none": [quantities.name(one.quantity.name) for one in squad.weighed if not one.most],
    }  # fmt: skip
