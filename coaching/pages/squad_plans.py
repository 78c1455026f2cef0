"""The plans of a squad: who would be planned for, then each plan as soon as it is made, with how far it has come."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils.translation import gettext, ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.records.access import AthleteRef
from athletes.records.viewer import Viewer
from coaching.pages.plan_part import PlanPart
from coaching.pages.views import coaching_role
from coaching.usecases.plan_squad import SquadPlans, plan_squad
from coaching.usecases.planned import Planned

TEMPLATE, ROW = "coaching/squad_plans.html", "coaching/_squad_plan.html"
HERE = "<!--plans-->"
"""Stands in the page where the plans go, one after the other."""


@dataclass(frozen=True)
class SquadPage:
    """Whom to plan for; `chosen` once that was asked."""

    found: SquadPlans
    chosen: tuple[AthleteRef, ...] | None = None

    @property
    def headline(self) -> str:
        if self.chosen is None:
            return gettext("Plan the whole squad")
        n = len(self.chosen)
        return ngettext("%(n)d plan", "%(n)d plans", n) % {"n": n}


@dataclass(frozen=True)
class SquadLine:
    """One plan: whose, how many are done, the chance before and after, what it asks for."""

    athlete: AthleteRef
    plan: Planned
    number: int
    count: int

    @property
    def progress(self) -> str:
        return gettext("%(n)d of %(count)d") % {"n": self.number, "count": self.count}

    @property
    def part(self) -> PlanPart:
        return PlanPart(self.plan)


@coaching_role
@require_safe
@never_cache
def squad_plans(request: HttpRequest, viewer: Viewer) -> HttpResponseBase:
    """Who would be planned for; `whose=needing` or `whose=all` begins, and each plan is sent when it is there."""
    found = plan_squad(viewer)
    whose = {"needing": found.needing, "all": found.athletes}.get(request.GET.get("whose", ""))
    page = render(request, TEMPLATE, {"page": SquadPage(found, whose), "here": "decisions", "slot": HERE})
    if whose is None or request.method == "HEAD":
        return page
    return StreamingHttpResponse(_sent(page, found, whose))


def _sent(page: HttpResponse, found: SquadPlans, chosen: tuple[AthleteRef, ...]) -> Iterator[str]:
    """The page up to the plans, each plan, and the rest of the page: only a whole list ends with its last words."""
    before, after = page.content.decode().split(HERE)
    yield before
    for n, (athlete, plan) in enumerate(found.plans(chosen), start=1):
        yield render_to_string(ROW, {"line": SquadLine(athlete, plan, n, len(chosen))})
    yield after
