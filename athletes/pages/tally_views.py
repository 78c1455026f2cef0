"""In session: one tap a try, one to end it. Every button is a plain form's."""

from __future__ import annotations

from datetime import UTC, date, datetime
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.pages.asked import day as asked_day
from athletes.pages.posted import key_of, new_key
from athletes.pages.tally_shown import TallyPage
from athletes.pages.wards import Whom, own_or_ward
from athletes.records.errors import BadInput, NotFound
from athletes.records.taps import TapTold
from coaching.usecases import clock, tally
from coaching.wording import problems


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def counting(request: HttpRequest, whom: Whom) -> HttpResponse:
    """The tally of a session; a POST is one tap, its taking back, or where skin was about to open."""
    if request.method == "POST":
        return HttpResponseRedirect(_tapped(request, whom))
    found = tally.tally(whom.viewer, whom.code, asked_day(request.GET.get("day", "")))
    shown = {
        "page": TallyPage(found, ward=whom.code is not None), "whom": whom, "here": "tally",
        "key": new_key(), "address": reverse("tally") + whom.query, "session_address": _session(whom, found),
    }  # fmt: skip
    return render(request, "athletes/tally.html", shown)


def _tapped(request: HttpRequest, whom: Whom) -> str:
    """Store what was pressed; returns where to go on."""
    what, _sign, rest = request.POST.get("tap", "").partition(" ")
    here = reverse("tally") + whom.query
    try:
        if what in ("where", "opened"):
            return _where(request, whom, what == "opened")
        if what == "back":
            tally.take_back(whom.viewer, whom.code, _told(request, "end", "", rest))
        else:
            tally.tap(whom.viewer, whom.code, _told(request, what, rest, key_of(request)))
    except BadInput as refused:
        messages.warning(request, problems.problem(refused))
        return here
    return _session(whom, tally.tally(whom.viewer, whom.code)) if what == "end" else here


def _where(request: HttpRequest, whom: Whom, opened: bool) -> str:
    """About to open is a mark; opened already is a note of its own."""
    site = request.POST.get("site", "")
    try:
        tally.say_where(whom.viewer, whom.code, request.POST.get("end", ""), site, opened)
    except NotFound:
        return reverse("tally") + whom.query
    whose = {"for": whom.code} if whom.code else {}
    if opened:
        return f"{reverse('damage')}?{urlencode({**whose, 'end': request.POST.get('end', '')})}"
    messages.success(request, gettext("Marked as pink. Off that finger for today; look again tomorrow morning."))
    return _session(whom, tally.tally(whom.viewer, whom.code))


def _told(request: HttpRequest, what: str, surface: str, key: str) -> TapTold:
    day, number = asked_day(request.POST.get("day", "")), request.POST.get("n", "")
    return TapTold(
        key=key,
        local_date=day or date.min,
        ordinal=int(number) if number.isascii() and number.isdecimal() else 0,
        what=what,
        made_at=_instant(request.POST.get("at", "")),
        surface=surface if what == "try" else "",
    )


def _instant(text: str) -> datetime:
    """The phone's own word on the hour, which the use-case takes for what it is worth; now where there is none."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return clock.now()
    return found if found.tzinfo else found.replace(tzinfo=UTC)


def _session(whom: Whom, found: tally.Tally) -> str:
    whose = {"for": whom.code} if whom.code else {}
    asked = {**whose, "day": found.day.isoformat(), "n": found.counted.ordinal}
    return f"{reverse('session')}?{urlencode(asked)}"
