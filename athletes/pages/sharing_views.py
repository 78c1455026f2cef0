"""The athlete's say over their record: who sees what, who looked, all of it as a file, all of it erased."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext, gettext_lazy
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from athletes.pages.sharing_shown import WhoSeesShown, looked, support
from athletes.pages.wards import Whom, own_or_ward
from athletes.records.errors import BadInput, NotFound
from athletes.records.viewer import Viewer
from coaching.usecases import access_log, break_glass, erase, export_own, own_record, who_sees
from coaching.usecases.who_sees import What
from coaching.wording import dates, sharing
from coaching.wording.own_record import paper_of

PROBLEMS = {"guardian-first": gettext_lazy("At your age your guardian says yes first; then it is your turn.")}


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def shared(request: HttpRequest, whom: Whom) -> HttpResponse:
    """Who sees what; a tap gives, a tap takes back."""
    if request.method == "POST":
        verb, _, rest = request.POST.get("do", "").partition(":")
        try:
            _do(whom, verb, rest)
        except BadInput as refused:
            known = PROBLEMS.get(refused.problem, gettext("Nothing was changed: that cannot be shared."))
            messages.error(request, known)
        return redirect(f"{reverse('who-sees')}{whom.query}#{rest.split(':')[0] or 'main'}")
    page = WhoSeesShown(who_sees.who_sees(whom.viewer, whom.code))
    return render(request, "athletes/who_sees.html", {"page": page, "whom": whom, "here": "who-sees"})


def _do(whom: Whom, verb: str, rest: str) -> None:
    """Carry out what a button says. Raises BadInput for what no button says."""
    role, _, asked = rest.partition(":")
    data_class, _, person = asked.partition(":")
    only = int(person) if person.isdecimal() and len(person) < 19 else None
    text, told = sharing.text_read(), (whom.viewer, whom.code)
    if verb == "share" and role:
        who_sees.give(*told, [What(role, data_class, only)], text)
    elif verb == "stop" and role:
        whole = who_sees.everything(role, only)
        who_sees.withdraw(*told, [What(role, data_class, only)] if data_class else whole, text)
    elif verb == "level" and role:
        who_sees.only_level(*told, role, text)
    else:
        raise BadInput("do", "unknown-code", verb)


@own_or_ward
@require_safe
@never_cache
def read(request: HttpRequest, whom: Whom) -> HttpResponse:
    """Who looked, by day."""
    athlete, reads = access_log.of_athlete(whom.viewer, whom.code)
    shown = {
        "days": looked(reads, athlete.timezone),
        "looks": support(break_glass.looks_at(whom.viewer, whom.code), athlete.timezone),
        "most": access_log.SHOWN if len(reads) == access_log.SHOWN else 0,
    }
    return render(request, "athletes/who_read.html", {**shown, "whom": whom, "here": "who-sees"})


@own_or_ward
@require_safe
@never_cache
def own(request: HttpRequest, whom: Whom) -> HttpResponse:
    """Everything of the athlete's as one zip."""
    made = export_own.export_own(whom.viewer, whom.code)
    answer = HttpResponse(made.content, content_type="application/zip")
    answer["Content-Disposition"] = f'attachment; filename="tenpads-{made.as_of.isoformat()}.zip"'
    return answer


@own_or_ward
@require_safe
@never_cache
def record(request: HttpRequest, whom: Whom) -> HttpResponse:
    """The record to be read, as PDF."""
    made = own_record.own_paper(whom.viewer, whom.code, paper_of)
    answer = HttpResponse(made.content, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="tenpads-{made.as_of.isoformat()}.pdf"'
    return answer


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def erasing(request: HttpRequest, whom: Whom) -> HttpResponse:
    """Ask for it on a page of its own, and take it back for as long as it has not run."""
    if request.method == "POST":
        if request.POST.get("do") == "erase":
            erase.ask(whom.viewer, whom.code)
        elif request.POST.get("do") == "keep":
            erase.take_back(whom.viewer, whom.code)
            messages.success(request, gettext("Nothing is erased; the record stays as it was."))
        return redirect(reverse("erase") + whom.query)
    found = who_sees.who_sees(whom.viewer, whom.code)
    due = found.wish and dates.moment(found.wish.due_at, found.athlete.timezone and found.wish.due_at.date(), "UTC")
    return render(request, "athletes/erase.html", {"due": due, "whom": whom, "here": "who-sees"})


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def glass(request: HttpRequest) -> HttpResponse:
    """Support's way in. Nobody else finds it, and a code of nobody's answers as somebody else's does not."""
    viewer: Viewer | None = getattr(request, "viewer", None)
    if viewer is None or "support" not in viewer.roles():
        raise Http404
    problem = ""
    if request.method == "POST":
        try:
            if request.POST.get("do") == "close":
                break_glass.mend(viewer)
            else:
                break_glass.break_glass(viewer, request.POST.get("athlete", ""), request.POST.get("reason", ""))
            return redirect("support")
        except BadInput as refused:
            problem = refused.problem
        except NotFound:
            problem = gettext("Nobody has that code.")
    shown = {"opened": break_glass.opened(viewer), "problem": problem}
    return render(request, "athletes/support.html", shown, status=422 if problem else 200)
