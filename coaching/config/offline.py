"""What works without a signal: the worker and what it keeps, the page it shows where it has nothing, the manifest, and
the word that a device gets whenever it reaches the server.
"""

from __future__ import annotations

import hashlib
import json
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

from django.contrib.staticfiles import finders
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from athletes.records.errors import NotFound
from coaching.usecases import api_tokens, clock
from coaching.usecases import contact as contacts
from coaching.wording import offline as words

KEPT = ("check-in", "today", "session", "tally", "damage", "hands", "infected")
"""Names of the athlete's own pages that a phone keeps a copy of, to be opened without a signal."""
NOT_KEPT = ("vendor", "LICENSE", "SHA256SUMS", "latin-ext", "course.js", "passkeys.js", "api_docs")
"""Parts of names of our static files that no kept page needs."""
PAPER, INK = "#f8faf9", "#191a1d"  # as paper.css has them, light


def kept_for(request: HttpRequest) -> str:
    """A name for the signed-in account that says nothing about it; empty for nobody. Copies are kept under it."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return ""
    return salted_hmac("tenpads.kept", str(user.pk)).hexdigest()[:16]


def in_pages(request: HttpRequest) -> dict[str, Any]:
    """For every template: for whom the page is, when a page that is kept was made, and the words that scripts need."""
    return {
        "kept_for": kept_for(request),
        "kept_known": True,
        "made_at": clock.now().isoformat() if _tells_the_time(request) else "",
        "offline_words": words.for_scripts(),
    }


def _tells_the_time(request: HttpRequest) -> bool:
    """Pages that are kept say when they were made. No other does: what is not there has to answer alike, always; so a
    page under an id says it only once its view has found what the id names.
    """
    named = getattr(request.resolver_match, "url_name", "") in (*KEPT, "morning")
    return named or getattr(request, "tells_the_time", False)


@cache
def assets() -> tuple[tuple[str, str], ...]:
    """(address, SHA-256) of each static file that the worker keeps."""
    found = []
    for finder in finders.get_finders():
        for path, storage in finder.list(None):
            ours = path.startswith("tenpads/") and not any(part in path for part in NOT_KEPT)
            if ours and path != "tenpads/offline/worker.js":
                content = Path(storage.path(path)).read_bytes()
                found.append((static(path), hashlib.sha256(content).hexdigest()))
    return tuple(sorted(dict(found).items()))


@cache
def worker_text() -> str:
    """The worker, headed by what it keeps and by a version that changes with any byte of that."""
    found = finders.find("tenpads/offline/worker.js")
    body = Path(found).read_text(encoding="utf-8")
    version = hashlib.sha256(json.dumps([assets(), body]).encode()).hexdigest()[:12]
    told = {"version": version, "shell": reverse("offline"), "assets": [path for path, _ in assets()]}
    told["scripts"] = [static(f"tenpads/offline/{name}.js") for name in ("store", "queue", "push")]
    return f"self.tenpadsKeeps = {json.dumps(told)};\n{body}"


@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker; the browser asks for it anew with every visit."""
    return HttpResponse(worker_text(), content_type="text/javascript", headers={"Cache-Control": "no-cache"})


@require_safe
def manifest(request: HttpRequest) -> HttpResponse:
    """What a phone needs to put Tenpads beside its other programs (W3C, Web Application Manifest)."""
    icon = "tenpads/icons/icon-{}.png".format
    told = {
        "id": "/", "name": _("Tenpads"), "short_name": _("Tenpads"), "start_url": "/", "scope": "/",
        "display": "standalone", "background_color": PAPER, "theme_color": PAPER,
        "description": _("Check in, and read what to do today for ten finger pads."),
        "icons": [
            {"src": static("tenpads/mark.svg"), "sizes": "any", "type": "image/svg+xml", "purpose": "any"},
            *({"src": static(icon(size)), "sizes": f"{size}x{size}", "type": "image/png"} for size in (192, 512)),
            {"src": static(icon("maskable-512")), "sizes": "512x512", "type": "image/png", "purpose": "maskable"},
        ],
    }  # fmt: skip
    kept = {"Cache-Control": "no-cache"}
    return HttpResponse(json.dumps(told), content_type="application/manifest+json", headers=kept)


@require_safe
def offline(request: HttpRequest) -> HttpResponse:
    """The page that stands in where there is no signal; it is the same for everybody and holds nothing of anybody."""
    return render(request, "offline.html", {"kept_known": False})


@require_safe
@never_cache
def contact(request: HttpRequest) -> HttpResponse:
    """For whom this device may keep copies and until when it had the right ones; a word for what it has to send."""
    found = contacts.contact(request.viewer)  # type: ignore[attr-defined]
    who = kept_for(request)
    told = {
        "who": who, "athlete": found.athlete_code, "seen": found.seen, "sharing": found.sharing, "keep": found.keep,
        "now": clock.now().isoformat(), "csrf": get_token(request),
        "pages": _pages(found) if found.athlete_code and found.keep else [],
    }  # fmt: skip
    return JsonResponse(told)


def _pages(found: contacts.Contact) -> list[str]:
    """Pages of which the phone keeps copies: that of a look at each damage that is open, too."""
    return [*(reverse(name) for name in KEPT), *(reverse("episode", args=[code]) for code in found.open)]


@require_POST
@never_cache
def phone(request: HttpRequest) -> HttpResponse:
    """A token for this very browser, so that what an athlete kept is sent also once the session is over. It stores
    their own answers, reads nothing, and ends with signing out here.
    """
    end_phone(request)
    try:
        text = api_tokens.make_phones(request.user, request.viewer, _("This browser, for answers kept offline"))  # type: ignore[attr-defined]
    except NotFound:
        raise Http404 from None
    request.session["phone"] = text.split("_")[1]
    return JsonResponse({"token": text}, status=201)


def end_phone(request: HttpRequest) -> None:
    """End the token that this browser was given, if any."""
    prefix = request.session.pop("phone", None)
    if prefix and request.user.is_authenticated:
        with suppress(NotFound):
            api_tokens.end(request.user, prefix)


def told_to_forget(request: HttpRequest, answer: HttpResponse) -> HttpResponse:
    """Signing out takes everything from the device (W3C, Clear Site Data), but for answers of somebody else that still
    wait to be sent there: then the page's script has taken away the rest.
    """
    if request.POST.get("keep") != "others":
        answer.headers["Clear-Site-Data"] = '"storage"'
    return answer


