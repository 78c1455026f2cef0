"""Every decision that waits, and the answer to one of them."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.translation import gettext, ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.pages.decision_part import ANSWERS, DecisionLine, Group, groups
from coaching.pages.plan_views import LONGEST_WHY, said
from coaching.pages.views import coaching_role
from coaching.usecases.answer_decision import answer_decision
from coaching.usecases.waiting import Waiting, waiting


@dataclass(frozen=True)
class DecisionsPage:
    """`about` is the athlete's code where the address asks for one athlete alone."""

    found: tuple[Waiting, ...]
    typed: QueryDict | None = None
    problem: str = ""
    about: str = ""

    @property
    def lines(self) -> list[DecisionLine]:
        key = self.typed.get("key") if self.typed else None
        return [
            DecisionLine(one, self.typed, self.problem) if one.key == key else DecisionLine(one) for one in self.found
        ]

    @property
    def groups(self) -> list[Group]:
        return groups(self.lines)

    @property
    def wrong(self) -> str:
        """The problem, where the decision that was answered is not in the list any more."""
        return "" if any(line.open for line in self.lines) else self.problem

    @property
    def headline(self) -> str:
        if not self.found:
            return gettext("No decision waits for you.")
        n, people = len(self.found), len(self.groups)
        waits = ngettext("%(n)d decision waits for you", "%(n)d decisions wait for you", n) % {"n": n}
        return waits + ngettext(", about %(n)d athlete", ", about %(n)d athletes", people) % {"n": people}


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def decisions(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The list; a POST answers one of it."""
    found = waiting(viewer)
    if request.method != "POST":
        about = request.GET.get("about", "")
        asked = tuple(one for one in found if one.athlete.code == about) if about else found
        return _page(request, DecisionsPage(asked, about=about))
    typed = request.POST
    try:
        _answer(viewer, found, typed)
    except BadInput as wrong:
        return _page(request, DecisionsPage(found, typed, said(wrong)), 422)
    messages.success(request, gettext("The answer is stored."))
    back = typed.get("back", "")
    return redirect("athlete", back) if back else redirect("decisions")


def _answer(viewer: Viewer, found: tuple[Waiting, ...], typed: QueryDict) -> None:
    """Raises BadInput where the decision does not wait any more, or the answer is not whole."""
    one = next((one for one in found if one.key == typed.get("key")), None)
    if one is None or one.deadline is None:
        raise BadInput("plan", gettext("is not waiting any more: somebody has answered, or the facts have moved"))
    answer = typed.get("answer", "")
    if answer not in ANSWERS:
        raise BadInput("answer", gettext("must be one of accept, change and decline"), answer)
    given = {"event_id": one.entry.event.code, "kind": one.kind, "site": one.deadline.site, "about": one.about}
    answer_decision(viewer, one.athlete.code, {**given, "answer": answer, "why": typed.get("why", "")[:LONGEST_WHY]})


def _page(request: HttpRequest, page: DecisionsPage, status: int = 200) -> HttpResponse:
    return render(request, "coaching/decisions.html", {"page": page, "here": "decisions"}, status=status)
