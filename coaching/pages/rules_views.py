"""The rulebook with all its sources, a club's change of it, and a pause that a named person overrules."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.pages.rules_list import RulesShown
from coaching.pages.views import coaching_role
from coaching.rules.overrides import Change
from coaching.usecases import change_rule
from coaching.usecases.overrule_pause import overrule_pause
from coaching.usecases.rules_page import rules_page


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def rules(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The rulebook, and the form of whoever may change it."""
    problem, status = "", 200
    if request.method == "POST":
        if not change_rule.may(viewer):
            raise Http404
        try:
            change_rule.change_rule(viewer, _change(request))
            messages.success(request, gettext("The rule holds from that day on; dates are worked out anew."))
            return redirect("rules")
        except BadInput as refused:
            problem, status = f"{refused.problem}", 422
    shown = {"page": RulesShown(rules_page(viewer)), "here": "rules", "problem": problem}
    return render(request, "coaching/rules.html", shown, status=status)


@coaching_role
@require_POST
@never_cache
def overrule(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """A pause overruled for one form on one day, with a note."""
    said = request.POST
    try:
        day = change_rule.day_of(said.get("day", ""))
        overrule_pause(viewer, code, {"form": said.get("form", ""), "day": day, "note": said.get("note", "")})
        messages.success(request, gettext("Overruled; the note is printed beside the step."))
    except BadInput as refused:
        messages.error(request, f"{refused.problem}")
    return redirect("athlete", code)


def _change(request: HttpRequest) -> Change:
    rule, _, key = request.POST.get("what", "").partition(":")
    value = change_rule.value_of(key, request.POST.get("value", ""))
    day = change_rule.day_of(request.POST.get("from_day", ""))
    return Change(rule, key, value, day, request.POST.get("reason", ""))
