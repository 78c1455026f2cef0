"""After a session: what was climbed, and whether skin was what ended it."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.pages.asked import day as asked_day
from athletes.pages.session_form import SessionForm
from athletes.pages.session_shown import SessionPage
from athletes.pages.wards import Whom, own_or_ward
from athletes.records.errors import BadInput
from coaching.usecases.after_session import SessionAsked, session_asked, tell_session
from coaching.wording import problems


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def session(request: HttpRequest, whom: Whom) -> HttpResponse:
    """Ask for one session's answers, or store them and lead to today's list."""
    day, number = asked_day(request.GET.get("day", "")), _number(request.GET.get("n", ""))
    asked = session_asked(whom.viewer, whom.code, day, number)
    if request.method != "POST":
        return _page(request, whom, asked, SessionForm(asked))
    form = SessionForm(asked, request.POST)
    if form.is_valid() and _stored(request, whom, form):
        return redirect(f"{reverse('today')}{whom.query}")
    return _page(request, whom, asked, form, status=422)


def _stored(request: HttpRequest, whom: Whom, form: SessionForm) -> bool:
    """Store the answers and say so; a refused value becomes an error of its field, and nothing is stored."""
    try:
        told = tell_session(whom.viewer, whom.code, form.values())
    except BadInput as refused:
        form.add_error(refused.field if refused.field in form.fields else None, problems.problem(refused))
        return False
    said = gettext("Session corrected; the earlier answers are kept with the correction.")
    messages.success(request, said if told.corrected else gettext("Session stored."))
    return True


def _page(request: HttpRequest, whom: Whom, asked: SessionAsked, form: SessionForm, status: int = 200) -> HttpResponse:
    page = SessionPage(asked, form, ward=whom.code is not None)
    whose = {"for": whom.code} if whom.code else {}
    keep, here = {**whose, "day": asked.day.isoformat()}, reverse("session")
    shown = {
        "page": page, "whom": whom, "here": "session",
        "address": f"{here}?{urlencode({**keep, 'n': asked.ordinal})}",
        "that_day": f"{here}?{urlencode(keep)}",
        "other_day": f"{here}?{urlencode(whose)}&" if whose else f"{here}?",
    }  # fmt: skip
    return render(request, "athletes/session.html", shown, status=status)


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 3 else None
