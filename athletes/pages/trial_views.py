"""The athlete's own trials: set one up, run it, read it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.pages import trial_shown
from athletes.pages.trial_forms import Day, Question
from athletes.pages.wards import Whom, own_or_ward
from athletes.records.errors import BadInput
from coaching.usecases import trial_board, trial_days, trial_set_up
from coaching.wording import care, cautions, dates, problems, trial_results, trials

ENDS = ("over", "stopped", "reaction")


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def board(request: HttpRequest, whom: Whom) -> HttpResponse:
    """Trials so far, what the past can and cannot show, and small spots; a POST tells of a small spot."""
    if request.method == "POST":
        return _patch(request, whom)
    found = trial_board.board(whom.viewer, whom.code)
    over = [(row, trials.question_of(row), trial_results.verdict(row)) for row in found.over]
    running = found.running
    shown = {
        "whom": whom, "here": "trials", "found": found, "over": over,
        "running": trials.question_of(running.row) if running else "",
        "arm": trial_shown.arm(running, running.arm) if running and running.arm else None,
        "stands": trial_results.stands(found.stands.items()),
        "hints": [trial_results.hint(one) for one in found.hints],
        "patches": [(care.form(p.form), dates.weekday(p.day, found.today), p.reacted) for p in found.patches],
        "patch_forms": [(name, care.form(name)) for name, _, patch in found.forms if patch],
    }  # fmt: skip
    return render(request, "athletes/trials.html", shown)


def _patch(request: HttpRequest, whom: Whom) -> HttpResponse:
    reacted = request.POST.get("reacted") == "yes"
    try:
        trial_set_up.tell_patch(whom.viewer, whom.code, request.POST.get("form", ""), reacted)
        messages.success(request, gettext("Stored."))
        if reacted:
            messages.warning(request, gettext("Wash it off. If it spreads, blisters or hurts, ask a doctor today."))
    except BadInput as refused:
        messages.warning(request, problems.problem(refused))
    return redirect(reverse("trials") + whom.query)


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def new(request: HttpRequest, whom: Whom) -> HttpResponse:
    """A question, and what a trial of it would take and show; at last the draw. Nothing of it stands in an address."""
    form = Question(request.POST if request.method == "POST" else None, initial={"first_day": whom.viewer.today})
    shown = {"whom": whom, "here": "trials", "form": form, "proposal": None}
    if not form.is_bound or not form.is_valid():
        return render(request, "athletes/trial_new.html", shown, status=422 if form.is_bound else 200)
    try:
        if request.POST.get("do") == "begin":
            trial_id = trial_set_up.begin(whom.viewer, whom.code, form.ask(), form.first)
            messages.success(request, gettext("Drawn. The list of each day says which block it is."))
            return redirect(reverse("trial", args=[trial_id]) + whom.query)
        found = trial_set_up.propose(whom.viewer, whom.code, form.ask(), form.first)
    except BadInput as refused:
        form.add_error(None, problems.problem(refused))
        return render(request, "athletes/trial_new.html", shown, status=422)
    ask = form.ask()
    shown |= {
        "proposal": found, "question": trials.question(ask.form, ask.strength, ask.outcome, ask.lower_is_better),
        "judged": trials.OUTCOMES[ask.outcome], "length": trials.length(found), "power": trials.can_show(found),
        "stops": [trials.stop(one, found.first_day) for one in found.stops], "way": trials.ask_kinds(ask),
        "how": care.rulebook_text(found.how), "caution": cautions.rule(found.caution),
        "source": care.rulebook_text(found.source), "may_begin": found.blocks is not None and not found.stops,
        "sent": [(name, form.data.get(name, "")) for name in form.fields],
    }  # fmt: skip
    return render(request, "athletes/trial_new.html", shown)


@own_or_ward
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def one(request: HttpRequest, whom: Whom, number: int) -> HttpResponse:
    """One trial: the day's arm while it runs, the result once it is over; a POST tells of a day or ends it."""
    if request.method == "POST":
        _tell(request, whom, number)
        return redirect(reverse("trial", args=[number]) + whom.query)
    found = trial_board.one_trial(whom.viewer, whom.code, number)
    row = found.row
    shown = {
        "whom": whom, "here": "trials", "found": found, "row": row, "question": trials.question_of(row),
        "judged": trials.OUTCOMES[row.outcome], "caution": cautions.rule(found.caution),
        "how": care.rulebook_text(found.how), "span": trials.span(row),
        "arm": trial_shown.arm(found, found.arm) if found.arm else None,
        "lately": [trial_shown.arm(found, each) for each in found.lately],
        "result": trial_shown.result(row), "ratings": range(11),
    }  # fmt: skip
    return render(request, "athletes/trial.html", shown)


def _tell(request: HttpRequest, whom: Whom, number: int) -> None:
    why = request.POST.get("end", "")
    try:
        if why in ENDS:
            trial_days.end(whom.viewer, whom.code, number, why, request.POST.get("note", ""))
            messages.success(request, gettext("Ended. What was told stays yours."))
            return
        form = Day(request.POST)
        if not form.is_valid():
            messages.warning(request, gettext("Not stored: a day, used or not, and ratings of 0 to 10."))
            return
        trial_days.tell_day(whom.viewer, whom.code, number, form.cleaned_data["day"], form.told())
        messages.success(request, gettext("Stored."))
    except BadInput as refused:
        messages.warning(request, problems.problem(refused))
