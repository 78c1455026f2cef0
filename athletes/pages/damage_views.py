"""New damage, a look at damage that stands, a photo for whoever it is shared with."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from athletes.pages.damage_form import LookForm, NoteForm, WithPhoto
from athletes.pages.damage_shown import NotePage
from athletes.pages.episode_shown import EpisodePage
from athletes.pages.posted import key_of, new_key, once_only
from athletes.pages.wards import Whom, own_or_ward
from athletes.records.errors import BadInput, NotFound
from athletes.records.photos.keeping import TooMany
from athletes.records.viewer import Viewer
from coaching.usecases import note_damage as notes
from coaching.usecases import tally
from coaching.usecases.see_photo import see_photo
from coaching.wording import damage_note, problems


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def damage(request: HttpRequest, whom: Whom) -> HttpResponse:
    """Ask what has opened, or store it and lead to its own page."""
    asked = notes.note_asked(whom.viewer, whom.code)
    if request.method != "POST":
        end = request.GET.get("end", "")
        form = NoteForm(asked.today, site=tally.ended_at(whom.viewer, whom.code, end) if end else "")
        return _note(request, whom, asked, form, new_key())
    form = NoteForm(asked.today, request.POST, request.FILES)

    def store() -> str:
        return _address("episode", whom, notes.note_damage(whom.viewer, whom.code, form.told()))

    stored = _stored(request, whom, form, store, gettext("Noted."))
    return stored or _note(request, whom, asked, form, key_of(request), 422)


def _note(
    request: HttpRequest, whom: Whom, asked: notes.NoteAsked, form: NoteForm, key: str, status: int = 200
) -> HttpResponse:
    page = NotePage(asked, form, ward=whom.code is not None)
    shown = {"page": page, "whom": whom, "here": "damage", "key": key, "address": _address("damage", whom)}
    return render(request, "athletes/damage.html", shown, status=status)


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def episode(request: HttpRequest, whom: Whom, episode_id: str) -> HttpResponse:
    """One piece of damage; a POST tells of a look, or takes a photo away."""
    found = notes.episode(whom.viewer, whom.code, episode_id)
    here = _address("episode", whom, episode_id)
    request.tells_the_time = True  # type: ignore[attr-defined]  # there is such damage, so a phone may keep its page
    if request.method != "POST":
        return _episode(request, whom, found, LookForm(), new_key())
    if gone := request.POST.get("photo_gone"):
        notes.drop_photo(whom.viewer, whom.code, gone)
        messages.success(request, gettext("The photo is gone for good."))
        return redirect(here)
    form = LookForm(request.POST, request.FILES)

    def store() -> str:
        notes.look_again(whom.viewer, whom.code, episode_id, form.told())
        return here

    stored = _stored(request, whom, form, store, gettext("Stored."))
    return stored or _episode(request, whom, found, form, key_of(request), 422)


def _episode(
    request: HttpRequest, whom: Whom, found: notes.Episode, form: LookForm, key: str, status: int = 200
) -> HttpResponse:
    page = EpisodePage(
        found.asked, form, ward=whom.code is not None, found=found, session_key=request.session.session_key
    )
    address = _address("episode", whom, found.damage.episode_id)
    shown = {"page": page, "whom": whom, "here": "hands", "key": key, "address": address}
    return render(request, "athletes/episode.html", shown, status=status)


def _stored(
    request: HttpRequest, whom: Whom, form: WithPhoto, store: Callable[[], str], said: str
) -> HttpResponse | None:
    """Where it leads once it is stored, and stored once; None where the form is refused, and then it says why. Signs of
    infection lead to what to do and whom to call, before anything else.
    """
    if not form.is_valid():
        return None
    try:
        answer = once_only(request, whom, lambda: notes.note_asked(whom.viewer, whom.code), store)
    except (BadInput, TooMany) as refused:
        _refused(form, refused)
        return None
    messages.success(request, said)
    signs = form.signs()
    if not signs.flags and not signs.unnamed:
        return answer
    whose = request.GET.get("for")
    return redirect(reverse("infected") + (f"?{urlencode({'for': whose})}" if whose else ""))


def _refused(form: WithPhoto, refused: BadInput | TooMany) -> None:
    if isinstance(refused, TooMany):
        form.add_error("photo", damage_note.too_many())
        return
    field = "noticed" if refused.field == "noticed_on" else refused.field
    form.add_error(field if field in form.fields else None, problems.problem(refused))


@require_safe
@never_cache
def photo(request: HttpRequest, name: str) -> HttpResponse:
    """One picture, for minutes and for the session that was given its address."""
    viewer: Viewer | None = getattr(request, "viewer", None)
    if viewer is None:
        raise Http404
    try:
        found = see_photo(viewer, name, request.GET.get("s", ""), request.session.session_key)
    except NotFound:
        raise Http404 from None
    headers = {
        "Content-Disposition": 'inline; filename="photo.webp"',
        "Referrer-Policy": "no-referrer",
        "X-Robots-Tag": "noindex, noimageindex",
        "Cache-Control": "no-store",
    }
    return HttpResponse(found, content_type="image/webp", headers=headers)


def _address(name: str, whom: Whom, *parts: str) -> str:
    return reverse(name, args=parts) + whom.query
