"""The athlete's own pages: check in, and today's list."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.pages.asking import Asking
from athletes.pages.forms import CheckIn
from athletes.pages.sharing_shown import support
from athletes.pages.today import Today
from athletes.pages.wards import Whom, own_or_ward
from athletes.records.errors import BadInput
from coaching.usecases.checkin_form import checkin_form
from coaching.usecases.record_checkin import record_checkin
from coaching.usecases.shown import CheckInForm
from coaching.usecases.tell_step import take_back, tell_step
from coaching.usecases.today_list import today_list
from coaching.wording import problems


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def check_in(request: HttpRequest, whom: Whom) -> HttpResponse:
    """Ask for one morning's answers, or store them and lead to today's list."""
    asked = checkin_form(whom.viewer, whom.code)
    if request.method != "POST":
        return _page(request, whom, asked, CheckIn(asked))
    form = CheckIn(asked, request.POST)
    if form.is_valid() and _stored(request, whom, form):
        return redirect(_address("today", whom))
    return _page(request, whom, asked, form, status=422)


def _stored(request: HttpRequest, whom: Whom, form: CheckIn) -> bool:
    """Store the answers and say so; a refused value becomes an error of its field, and nothing is stored."""
    try:
        stored = record_checkin(whom.viewer, form.asked.athlete_code, form.answers())
    except BadInput as refused:
        form.add_error(form.field_for(refused.field), problems.problem(refused))
        return False
    said = (
        gettext("Sent; it replaces what was sent before.") if stored.corrected else gettext("Check-in sent.")
    )
    messages.success(request, said)
    _say_of_signs(request, form)
    return True


def _say_of_signs(request: HttpRequest, form: CheckIn) -> None:
    """What became of signs that the answers alone do not show."""
    if form.sign_unnamed:
        messages.warning(request, gettext("A doctor today. Check in again to tap which sign it is."))
    if form.signs_kept:
        messages.warning(
            request, gettext("The signs sent earlier today stay until a medical person has looked, or for a week.")
        )


def _page(
    request: HttpRequest, whom: Whom, asked: CheckInForm, form: CheckIn, status: int = 200
) -> HttpResponse:
    shown = {"asking": Asking(asked, form, ward=whom.code is not None), "whom": whom, "here": "check-in"}
    return render(request, "athletes/check_in.html", shown, status=status)


def _address(name: str, whom: Whom) -> str:
    return reverse(name) + whom.query


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def today(request: HttpRequest, whom: Whom) -> HttpResponse:
    """Today's list; a POST tells of one of its steps, or takes back what was told."""
    if request.method == "POST":
        _tell(request, whom)
        return redirect(_address("today", whom))
    found = today_list(whom.viewer, whom.code)
    glass = support(found.glass, found.timezone)
    shown = {"today": Today(found), "whom": whom, "here": "today", "glass": glass}
    return render(request, "athletes/today.html", shown)


def _tell(request: HttpRequest, whom: Whom) -> None:
    told = request.POST.get("back", "")
    if told.isdecimal():
        take_back(whom.viewer, whom.code, int(told))
        messages.success(request, gettext("Taken back."))
        return
    try:
        tell_step(whom.viewer, whom.code, request.POST.get("step", ""), request.POST.get("status", ""))
        messages.success(request, gettext("Stored."))
    except BadInput as refused:
        messages.warning(request, problems.problem(refused))
