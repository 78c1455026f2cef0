"""The squad: who is in it, one athlete more, a spreadsheet looked at first, a profile put right."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core import signing
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.records.bundle.report import BadBundle
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.pages.roster_shown import PreviewShown, SquadShown
from coaching.pages.squad_forms import AthleteForm
from coaching.pages.views import coaching_role
from coaching.usecases import run_squad, sample
from coaching.usecases.run_squad import SquadPage
from coaching.wording import problems
from coaching.wording import squad as words

LARGEST_FILE = 1_000_000
UNDO_S = 3600
UNDO = signing.TimestampSigner(salt="squad-undo")


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def squad(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The roster of one squad, with all that changes it."""
    page = run_squad.squad_page(viewer, request.POST.get("squad") or request.GET.get("squad") or None)
    form = AthleteForm(initial={"timezone": page.zone or "UTC"})
    if request.method != "POST":
        return _shown(request, page, form)
    told = {
        "add": _add, "preview": _preview, "store": _store, "out": _out, "back": _back, "sample": _sample, "gone": _gone,
    }  # fmt: skip
    action = told.get(request.POST.get("action", ""))
    if action is None:
        raise Http404
    try:
        return action(request, viewer, page)
    except BadInput as refused:
        messages.error(request, problems.problem(refused))
        return _again(page)


def _sample(request: HttpRequest, viewer: Viewer, page: SquadPage) -> HttpResponse:
    n = sample.begin(viewer)
    messages.success(request, words.sampled(n))
    return redirect("morning")


def _gone(request: HttpRequest, viewer: Viewer, page: SquadPage) -> HttpResponse:
    n = sample.end(viewer)
    messages.success(request, words.sample_gone(n))
    return redirect("squad")


def _add(request: HttpRequest, viewer: Viewer, page: SquadPage) -> HttpResponse:
    form = AthleteForm(request.POST)
    if form.is_valid():
        try:
            run_squad.add_athlete(viewer, page.squad.code, form.values())
        except BadInput as refused:
            form.add_error(None, problems.problem(refused))
        else:
            messages.success(request, words.added(1))
            return _again(page)
    return _shown(request, page, form, status=422)


def _preview(request: HttpRequest, viewer: Viewer, page: SquadPage) -> HttpResponse:
    file = request.FILES.get("file")
    if file is None:
        return _shown(request, page, status=422, file_error=gettext("Choose a file."))
    data = file.read(LARGEST_FILE + 1)
    found = run_squad.preview_roster(viewer, page.squad.code, data)
    return _shown(request, page, status=422 if found.bad else 200, preview=PreviewShown(found))


def _store(request: HttpRequest, viewer: Viewer, page: SquadPage) -> HttpResponse:
    """The file as it was looked at, read again from the page: nothing of it was kept in between."""
    data = request.POST.get("text", "").encode("utf-8", "replace")
    try:
        n = run_squad.add_roster(viewer, page.squad.code, data)
    except BadBundle:
        found = run_squad.preview_roster(viewer, page.squad.code, data)
        return _shown(request, page, status=422, preview=PreviewShown(found))
    messages.success(request, words.added(n))
    return _again(page)


def _out(request: HttpRequest, viewer: Viewer, page: SquadPage) -> HttpResponse:
    gone = run_squad.take_out(viewer, page.squad.code, request.POST.get("athlete", ""))
    undo = UNDO.sign_object([page.squad.code, gone.id, viewer.account_id])
    page = run_squad.squad_page(viewer, page.squad.code)
    return _shown(request, page, gone={"name": gone.name, "undo": undo})


def _back(request: HttpRequest, viewer: Viewer, page: SquadPage) -> HttpResponse:
    try:
        code, athlete_id, account = UNDO.unsign_object(request.POST.get("undo", ""), max_age=UNDO_S)
    except signing.BadSignature:
        messages.error(request, gettext("That can no longer be undone. Add the athlete again."))
        return _again(page)
    if account != viewer.account_id or code != page.squad.code:
        raise Http404
    run_squad.put_back(viewer, code, athlete_id)
    return _again(page)


def _again(page: SquadPage) -> HttpResponse:
    return redirect(f"{reverse('squad')}?squad={page.squad.code}" if len(page.squads) > 1 else reverse("squad"))


def _shown(
    request: HttpRequest, page: SquadPage, form: AthleteForm | None = None, status: int = 200, **more: Any
) -> HttpResponse:
    blank = form or AthleteForm(initial={"timezone": page.zone or "UTC"})
    shown = {"page": SquadShown(page), "form": blank, "here": "squad", **more}
    return render(request, "coaching/squad.html", shown, status=status)


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def profile(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """One athlete's profile, to put right."""
    found = run_squad.profile(viewer, code)
    initial = {name: getattr(found, name) for name in AthleteForm.base_fields}
    form = AthleteForm(request.POST if request.method == "POST" else None, initial=initial)
    shared = run_squad.skin_is_shared(found)
    if not shared:
        del form.fields["skin_kind"]
    if form.is_bound and form.is_valid():
        try:
            changed = run_squad.change_athlete(viewer, code, form.values())
        except BadInput as refused:
            form.add_error(None, problems.problem(refused))
        else:
            say = gettext("Profile changed.") if changed else gettext("Nothing changed.")
            messages.success(request, say)
            return redirect("squad")
    shown = {"name": found.name, "code": code, "form": form, "here": "squad-profile", "skin_shared": shared}
    return render(request, "coaching/profile.html", shown, status=422 if form.is_bound else 200)
