"""The plan of an athlete, and its answer."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.pages.plan_part import PlanPart
from coaching.pages.views import coaching_role
from coaching.usecases.plan_care import PlanAnswer, PlanShown, answer_plan, plan_care
from coaching.wording import dates, plans

ANSWERS = ("accept", "change", "decline")
LONGEST_WHY = 2000


@dataclass(frozen=True)
class PlanPage:
    """The page with what was typed, kept where it could not be stored."""

    found: PlanShown
    wrong: str = ""
    typed: QueryDict | None = None

    @property
    def part(self) -> PlanPart:
        return PlanPart(self.found.plan)

    @property
    def answers(self) -> list[tuple[str, str, bool]]:
        """(code, word, chosen)."""
        chosen = self.typed.get("answer") if self.typed else ""
        return [(code, str(plans.ANSWERS[code]), code == chosen) for code in ANSWERS]

    @property
    def why(self) -> str:
        return (self.typed.get("why") or "") if self.typed else ""

    @property
    def sessions(self) -> list[tuple[str, str, bool]]:
        """(day, in words, fixed) of the sessions planned until the last event."""
        found = self.found
        said = [(day, dates.weekday(day, found.plan.as_of)) for day in found.sessions]
        return [(day.isoformat(), words, day in found.fixed) for day, words in said]

    @property
    def kept(self) -> frozenset[int]:
        """Steps that are ticked: all, until somebody has taken one out."""
        if self.typed is None:
            return frozenset(range(len(self.found.plan.steps)))
        return frozenset(int(value) for value in self.typed.getlist("keep") if value.isdecimal())


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def plan(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """The best plan as the facts are now, around the sessions that are `fixed`; a POST answers it."""
    typed = request.POST if request.method == "POST" else request.GET
    fixed = _fixed(typed)
    if request.method != "POST":
        return _page(request, PlanPage(plan_care(viewer, code, fixed)))
    answer = typed.get("answer", "")
    try:
        if answer not in ANSWERS:
            raise BadInput("answer", gettext("must be one of accept, change and decline"), answer)
        keep = frozenset(int(value) for value in typed.getlist("keep") if value.isdecimal())
        why = typed.get("why", "")[:LONGEST_WHY]
        answer_plan(viewer, code, PlanAnswer(typed.get("digest", ""), answer, why, keep, fixed))
    except BadInput as wrong:
        return _page(request, PlanPage(plan_care(viewer, code, fixed), said(wrong), typed), 422)
    messages.success(request, _stored(answer))
    return redirect("athlete", code)


def _fixed(typed: QueryDict) -> frozenset[date]:
    """Days that were ticked; what is no day is left out."""
    return frozenset(day for value in typed.getlist("fixed") if (day := _day(value)))


def _day(value: str) -> date | None:
    try:
        return date.fromisoformat(value)
    except ValueError:
        return None


def said(wrong: BadInput) -> str:
    """What could not be taken, as a sentence."""
    return gettext("%(field)s %(why)s.") % {"field": plans.FIELDS.get(wrong.field, wrong.field), "why": wrong.problem}


def _stored(answer: str) -> str:
    if answer == "decline":
        return gettext("The plan is declined; it is not asked about again until the facts behind it move.")
    return gettext("The plan stands in the athlete’s list from now on.")


def _page(request: HttpRequest, page: PlanPage, status: int = 200) -> HttpResponse:
    return render(request, "coaching/plan.html", {"page": page}, status=status)
