"""Calendar feeds: the page on which one makes and ends them, and the address that a calendar asks."""

from __future__ import annotations

import hashlib
from datetime import timedelta

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.translation import get_language, gettext, override
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from athletes.records.errors import BadInput, NotFound
from coaching.pages.own import signed_in
from coaching.sheets.calendar import CalendarEntry, calendar_ics
from coaching.usecases import calendar_feed
from coaching.usecases.calendar_feed import Feed, Item
from coaching.wording import calendars

AGAIN = timedelta(hours=6)


@signed_in
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def calendar(request: HttpRequest) -> HttpResponse:
    """See, make, renew and end addresses; a new one is shown in this one answer."""
    if request.method != "POST":
        return _page(request)
    act, _, about = request.POST.get("act", "").partition(" ")
    viewer = request.viewer  # type: ignore[attr-defined]
    feed_id = int(about) if about.isdecimal() and len(about) < 19 else 0
    try:
        if act == "make":
            return _page(request, calendar_feed.make(request.user, viewer, about))
        if act == "renew":
            return _page(request, calendar_feed.rotate(request.user, feed_id))
        if act != "end":
            raise NotFound
        calendar_feed.end(request.user, feed_id)
    except NotFound:
        raise Http404 from None
    except BadInput:
        messages.error(request, gettext("That is one too many. End one first."))
        return redirect("calendar")
    messages.success(request, gettext("The address is ended, from the next request on."))
    return redirect("calendar")


def _page(request: HttpRequest, secret: str = "") -> HttpResponse:
    viewer = request.viewer  # type: ignore[attr-defined]
    made = request.build_absolute_uri(reverse("calendar-link", args=[secret])) if secret else ""
    shown = {
        "made": made,
        "kept": [(one, calendars.kind(one.kind)) for one in calendar_feed.of(request.user)],
        "offered": [(kind, calendars.kind(kind), calendars.holds(kind)) for kind in calendar_feed.kinds(viewer)],
    }
    answer = render(request, "account/calendar.html", shown)
    answer.headers["Referrer-Policy"] = "no-referrer"
    return answer


@require_safe
def calendar_link(request: HttpRequest, token: str) -> HttpResponse:
    """What the calendar is told. Whoever asks with a secret that does not stand is told what a stranger is told."""
    try:
        feed = calendar_feed.read(token, request.from_this_machine)  # type: ignore[attr-defined]
    except NotFound:
        return _unseen(render(request, "404.html", status=404))
    page = request.build_absolute_uri(reverse("front"))
    with override(feed.viewer.language or get_language()):
        entries = [_entry(feed, item) for item in feed.items]
        body = calendar_ics(calendars.kind(feed.kind), calendars.holds(feed.kind), page, AGAIN, entries)
    mark = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    found = get_conditional_response(request, etag=mark)
    answer = found or HttpResponse(body, content_type="text/calendar; charset=utf-8")
    answer.headers["ETag"] = mark
    return _unseen(answer)


def _unseen(answer: HttpResponse) -> HttpResponse:
    """Kept nowhere, handed on by nobody."""
    answer.headers["Cache-Control"] = "private, no-store"
    answer.headers["Referrer-Policy"] = "no-referrer"
    return answer


def _entry(feed: Feed, item: Item) -> CalendarEntry:
    if item.changed_at is None:
        raise ValueError(item.key)  # it is kept before it is told
    return CalendarEntry(
        uid=calendar_feed.uid(feed, item),
        summary=calendars.summary(item.kind),
        first_day=item.first_day,
        last_day=item.last_day,
        at=item.at,
        zone=item.zone,
        sequence=item.sequence,
        changed_at=item.changed_at,
        cancelled=item.cancelled,
        busy=item.kind != "closes" and not item.cancelled,
    )
