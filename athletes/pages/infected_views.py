"""Something looks infected: what to do and whom to call. A phone keeps this page, to be opened without a signal."""

from __future__ import annotations

import re

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.pages.wards import Whom, own_or_ward
from athletes.records.errors import BadInput
from coaching.usecases import whom_to_call
from coaching.wording import emergency, problems


def _first(number: str) -> str:
    """What is dialled of "112, ambulance 144"."""
    found = re.search(r"[0-9]+", number)
    return found[0] if found else ""


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def infected(request: HttpRequest, whom: Whom) -> HttpResponse:
    """The card; a POST writes down whom to call."""
    athlete, lines = whom_to_call.whom_to_call(whom.viewer, whom.code)
    found = whom_to_call.emergencies(athlete)
    known = emergency.numbers(found)
    anywhere, said = emergency.anywhere()
    wrong = ""
    if request.method == "POST":
        typed = list(zip(request.POST.getlist("name"), request.POST.getlist("number"), strict=False))
        try:
            whom_to_call.write_down(whom.viewer, whom.code, typed)
        except BadInput as refused:
            wrong, lines = problems.problem(refused), typed
        else:
            messages.success(request, gettext("Written down."))
            return redirect(reverse("infected") + whom.query)
    spare = max(1, 3 - len(lines)) if len(lines) < whom_to_call.MOST else 0
    shown = {
        "whom": whom, "here": "infected", "name": athlete.name, "wrong": wrong,
        "emergency": [(number, _first(number), where) for number, where in known],
        "anywhere": [number for number in anywhere if number not in {_first(one) for one, _where in known}],
        "anywhere_said": said, "unknown": emergency.unknown(found),
        "calls": [(name, number, re.sub(r"[^+0-9]", "", number)) for name, number in lines],
        "lines": [*lines, *[("", "")] * spare],
    }  # fmt: skip
    return render(request, "athletes/infected.html", shown, status=422 if wrong else 200)
