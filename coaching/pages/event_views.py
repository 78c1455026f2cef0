"""The event pages and the files of an event."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from athletes.records.access_writing import COACHES
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.pages.event_list import EventsShown
from coaching.pages.event_rows import EventSeen
from coaching.pages.views import coaching_role
from coaching.usecases.event_notes import notes_of, write_note
from coaching.usecases.event_page import event_page, events_list
from coaching.usecases.make_sheet import MadeFile, make_csv, make_pdf, make_xlsx
from coaching.usecases.run_events import unseen_events
from coaching.wording import problems
from coaching.wording.event_sheet import sheet_of
from coaching.wording.event_table import table_of

PDF = "application/pdf"
CSV = "text/csv; charset=utf-8"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@coaching_role
@require_safe
@never_cache
def events(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Events to come, and those that are over."""
    found = events_list(viewer)
    unseen = unseen_events(viewer, [line.event.code for line in (*found.coming, *found.over)])
    shown = {"page": EventsShown(found), "may_enter": _may_enter(viewer), "unseen": unseen, "here": "events"}
    return render(request, "coaching/events.html", shown)


def _may_enter(viewer: Viewer) -> bool:
    return bool(viewer.roles() & COACHES)


@coaching_role
@require_safe
@never_cache
def event(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """One event with everybody entered."""
    page, may_enter = event_page(viewer, code), _may_enter(viewer)
    shown = {
        "page": EventSeen(page), "may_enter": may_enter, "here": "event", "code": code,
        "notes": notes_of(viewer, code) if may_enter else {},
        "access_label": gettext("Access, distance, where there is a signal"),
        "help_label": gettext("Nearest help: clinic, rescue, who drives"),
    }  # fmt: skip
    return render(request, "coaching/event.html", shown)


@coaching_role
@require_POST
def event_notes(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """Keep what a coach wrote about an event."""
    kind = request.POST.get("kind", "")
    try:
        write_note(viewer, code, kind, request.POST.get("text", ""))
        messages.success(request, gettext("Kept."))
    except BadInput as refused:
        messages.error(request, problems.problem(refused))
    return redirect("event-review" if kind == "review" else "event", code)


@coaching_role
@require_safe
@never_cache
def sheet_pdf(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """The pre-competition sheet, opened in the browser."""
    return sent(make_pdf(viewer, code, sheet_of), PDF, "pdf", download=False)


@coaching_role
@require_safe
@never_cache
def sheet_csv(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """The same rows as CSV."""
    return sent(make_csv(viewer, code, table_of), CSV, "csv", download=True)


@coaching_role
@require_safe
@never_cache
def sheet_xlsx(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """The same rows as a workbook."""
    return sent(make_xlsx(viewer, code, table_of), XLSX, "xlsx", download=True)


def sent(made: MadeFile, content_type: str, ending: str, *, download: bool) -> HttpResponse:
    """The file under a name of plain letters: an event's code is whatever somebody typed."""
    name = f"{slugify(made.event_code) or 'event'}-{made.as_of.isoformat()}.{ending}"
    response = HttpResponse(made.content, content_type=content_type)
    response["Content-Disposition"] = content_disposition_header(download, name) or "inline"
    return response
