"""What a coach puts into the calendar: an event, who goes, and the sessions of the days ahead."""

from __future__ import annotations

from datetime import timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.pages.asked import asked_day
from coaching.pages.event_forms import EntriesForm, EventForm
from coaching.pages.sessions_shown import SessionsShown
from coaching.pages.squad_forms import SessionForm
from coaching.pages.views import coaching_role
from coaching.usecases import plan_sessions, reading, run_events
from coaching.usecases.plan_sessions import SessionsPage
from coaching.wording import problems
from coaching.wording import squad as words


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def new_event(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """A form for an event and who goes."""
    page = run_events.new_event_page(viewer)
    form = EventForm(page, request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        told = form.cleaned_data
        try:
            code = run_events.add_event(viewer, form.values(), told["place"], told["who"], int(told["priority"]))
        except BadInput as refused:
            form.add_error(None, problems.problem(refused))
        else:
            messages.success(request, gettext("Event added. Its deadlines are being worked back from it."))
            return redirect("event-entries", code)
    status = 422 if form.is_bound else 200
    return render(request, "coaching/new_event.html", {"page": page, "form": form, "here": "new-event"}, status=status)


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def entries(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """Who goes to an event, for everybody of the squads at once."""
    page = run_events.entries_page(viewer, code)
    form = EntriesForm(page, request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        try:
            changed = run_events.enter(viewer, code, form.wishes())
        except run_events.Stale:
            form.add_error(None, gettext("Somebody else changed an entry since this page was opened. Look again."))
        except BadInput as refused:
            form.add_error(None, problems.problem(refused))
        else:
            messages.success(request, words.entries(changed))
            return redirect("event-entries", code)
    status = 422 if form.is_bound else 200
    shown = {"page": page, "form": form, "lines": form.lines(), "here": "entries"}
    return render(request, "coaching/entries.html", shown, status=status)


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def sessions(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The fortnight ahead by athlete, and one session planned for several."""
    page = plan_sessions.sessions_page(viewer, asked_day(request, "from"))
    start = {"first": viewer.today + timedelta(days=1)}
    posted, week = request.POST if request.method == "POST" else None, reading.first_weekday(viewer)
    form = SessionForm(page, posted, first_weekday=week, initial=start)
    if form.is_bound and form.is_valid():
        try:
            said = _planned(viewer, form, request.POST.get("action", ""))
        except BadInput as refused:
            form.add_error(None, problems.problem(refused))
        else:
            messages.success(request, said)
            return redirect("sessions")
    return _sessions(request, page, form)


def _planned(viewer: Viewer, form: SessionForm, action: str) -> str:
    if action == "off":
        return words.taken_off(plan_sessions.take_off(viewer, form.cleaned_data["who"], form.days))
    n = plan_sessions.plan_sessions(viewer, form.cleaned_data["who"], form.days, form.values())
    return words.planned(n)


def _sessions(request: HttpRequest, page: SessionsPage, form: SessionForm) -> HttpResponse:
    shown = {"page": SessionsShown(page), "form": form, "here": "sessions"}
    return render(request, "coaching/sessions.html", shown, status=422 if form.is_bound else 200)
