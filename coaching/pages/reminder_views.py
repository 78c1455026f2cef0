"""Reminders: the page on which somebody asks for them, and the two addresses that letters lead to."""

from __future__ import annotations

from dataclasses import replace
from zoneinfo import available_timezones

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods

from athletes.records.errors import BadInput, NotFound
from coaching.pages.own import signed_in
from coaching.usecases.reminding import asked
from coaching.usecases.reminding.webpush import Browser
from coaching.wording import reminders as words


@signed_in
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def reminders(request: HttpRequest) -> HttpResponse:
    """Ask for reminders, choose where they go, end them."""
    act, _, about = request.POST.get("act", "").partition(" ")
    if request.method != "POST":
        return _page(request, {})
    try:
        said = _done(request, act, about)
    except NotFound:
        raise Http404 from None
    except BadInput as refused:
        return _page(request, {refused.field: words.problem(refused.problem)})
    messages.success(request, said)
    return redirect("reminders")


def _done(request: HttpRequest, act: str, about: str) -> str:
    """What was done, in words. Raises NotFound and BadInput."""
    sent, account = request.POST, request.user
    if act == "ask":
        kinds = [kind for kind in sent.getlist("kind") if kind in words.KINDS]
        minutes = {kind: _minute(sent.get(f"at-{kind}", ""), kind) for kind in kinds}
        quiet = (_minute(sent.get(name, ""), name) for name in ("quiet_from", "quiet_to"))
        asked.ask(account, request.viewer, minutes, sent.get("timezone", ""), *quiet)  # type: ignore[attr-defined]
        return gettext("Kept. Nothing else is sent.") if minutes else gettext("Kept: no reminders.")
    if act == "mail":
        asked.ask_mail(account, sent.get("mail", "").strip())
        return gettext("A letter is on its way to that address. Open the link in it; until then nothing else is sent.")
    if act == "no-mail":
        asked.no_mail(account)
        return gettext("The address is forgotten.")
    if act == "browser":
        told = Browser(*(sent.get(name, "")[:2000] for name in ("endpoint", "p256dh", "auth")))
        asked.add_browser(account, told, _browser(request))
        return gettext("Messages come to this browser from now on.")
    if act == "drop" and about.isdecimal() and len(about) < 19:
        asked.drop_browser(account, int(about))
        return gettext("No more messages go to that browser.")
    raise NotFound


def _minute(text: str, field: str) -> int:
    try:
        return words.minute(text)
    except ValueError as error:
        raise BadInput(field, "unknown-code", text) from error


def _browser(request: HttpRequest) -> str:
    """What the list of sessions calls this browser too."""
    said = request.session.get("browser", "")
    names = {"phone": gettext("phone"), "tablet": gettext("tablet"), "computer": gettext("computer")}
    return str(names.get(said, names["computer"]))


def _page(request: HttpRequest, wrong: dict[str, str]) -> HttpResponse:
    found = asked.asked(request.user, request.viewer)  # type: ignore[attr-defined]
    sent = request.POST if request.POST.get("act") == "ask" else None
    way = found.way
    if sent is not None:
        way = replace(way, timezone=sent.get("timezone", ""))
    shown = {
        "found": found,
        "way": way,
        "quiet": [sent.get(n, "") if sent else words.clock(getattr(way, n)) for n in ("quiet_from", "quiet_to")],
        "zones": sorted(zone for zone in available_timezones() if "/" in zone or zone == "UTC"),
        "kinds": [
            {
                "code": kind,
                "name": words.kind(kind),
                "when": words.when(kind),
                "on": kind in (sent.getlist("kind") if sent else found.minutes),
                "at": sent.get(f"at-{kind}", "") if sent
                else words.clock(found.minutes.get(kind, asked.USUAL[kind])),
                "wrong": wrong.get(kind, ""),
            }
            for kind in found.kinds
        ],
        "wrong": wrong,
    }  # fmt: skip
    return render(request, "account/reminders.html", shown, status=422 if wrong else 200)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def mail_link(request: HttpRequest, token: str) -> HttpResponse:
    """The link of the letter that asks whose address it is. A tap confirms it; opening the page does not."""
    if not asked.confirmed(token):
        raise Http404
    if request.method == "POST":
        asked.confirm(token)
    return _told(request, "confirm")


@csrf_exempt  # a mail program sends it by itself, with no page before it (RFC 8058)
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def stop_link(request: HttpRequest, token: str) -> HttpResponse:
    """The link that ends letters, with one tap and no questions."""
    if not asked.stops(token):
        raise Http404
    if request.method == "POST":
        asked.stop(token)
    return _told(request, "stop")


def _told(request: HttpRequest, what: str) -> HttpResponse:
    answer = render(request, "account/letters.html", {"what": what, "done": request.method == "POST"})
    answer.headers["Referrer-Policy"] = "no-referrer"
    return answer
