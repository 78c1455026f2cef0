"""What if: one change, both sides. It is asked by POST although nothing is stored, because an address would keep what
agent somebody may start and what heals late; `do` says whether the change is accepted.
"""

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
from coaching.pages.plan_views import said
from coaching.pages.views import coaching_role
from coaching.rules.conclusions import EntryConclusion
from coaching.usecases.what_if import Edit, Side, WhatIf, accept, what_if
from coaching.wording import care, dates, levels, numbers, refusals, sites

Option = tuple[str, str, bool]
FIELDS = ("kind", "day", "form", "event_id", "episode_id", "late_days")


@dataclass(frozen=True)
class EventLine:
    """One event on both sides."""

    name: str
    before: str
    before_range: str
    after: str
    after_range: str
    change: str


@dataclass(frozen=True)
class WhatIfPage:
    """The page: the questions with what was typed, then both sides."""

    found: WhatIf
    typed: QueryDict
    problem: str = ""

    @property
    def wrong(self) -> str:
        return self.problem or (said(self.found.wrong) if self.found.wrong else "")

    @property
    def kind(self) -> str:
        return self.typed.get("kind", "")

    @property
    def sessions(self) -> list[Option]:
        days = self.found.offered.sessions
        return [self._day(day) for day in days]

    @property
    def agents(self) -> list[Option]:
        chosen = self.typed.get("form")
        return [(form, care.form(form), form == chosen) for form in self.found.offered.agents]

    @property
    def events(self) -> list[Option]:
        chosen, as_of = self.typed.get("event_id"), self.found.as_of
        return [
            (code, f"{name}, {dates.weekday(first, as_of)}", code == chosen)
            for code, name, first in self.found.offered.events
        ]

    @property
    def episodes(self) -> list[Option]:
        chosen = self.typed.get("episode_id")
        return [
            (key, f"{care.KINDS[kind]}, {sites.site(site)}", key == chosen)
            for key, site, kind in self.found.offered.episodes
        ]

    @property
    def late_days(self) -> str:
        return self.typed.get("late_days", "")

    @property
    def agent_day(self) -> str:
        return self.typed.get("day", "") if self.kind == "start-agent" else ""

    @property
    def event_day(self) -> str:
        return self.typed.get("day", "") if self.kind == "move-event" else ""

    @property
    def values(self) -> list[tuple[str, str]]:
        """What was asked, for the form that accepts it."""
        return [(name, self.typed.get(name, "")) for name in FIELDS if self.typed.get(name)]

    @property
    def refused(self) -> list[tuple[str, str]]:
        groups = refusals.grouped(self.found.refused)
        return [(refusals.refused(group, self.found.as_of).html, refusals.instead(group[0])) for group in groups]

    @property
    def lines(self) -> list[EventLine]:
        before, after = self.found.before, self.found.after
        if before is None or after is None:
            return []
        names = {code: name for code, name, _ in self.found.offered.events}
        then = {one.event_id: one for one in after.conclusion.entries}
        return [
            EventLine(names.get(one.event_id, one.event_id), *_chance(one), *_chance(other), _change(one, other))
            for one in before.conclusion.entries
            if (other := then.get(one.event_id))
        ]

    @property
    def sides(self) -> list[tuple[str, PlanPart]]:
        found = (
            (gettext("Plan as things stand"), self.found.before),
            (gettext("Plan after the change"), self.found.after),
        )
        return [(title, PlanPart(side.plan)) for title, side in found if isinstance(side, Side)]

    @property
    def acceptable(self) -> bool:
        """Whether there is something that a coach could accept."""
        shown = self.found.after is not None and not self.found.refused and self.found.may_accept
        return shown and self.kind != "close-late"

    def _day(self, day: date) -> Option:
        return day.isoformat(), dates.weekday(day, self.found.as_of), day.isoformat() == self.typed.get("day")


def _chance(one: EntryConclusion) -> tuple[str, str]:
    """The chance with the level, and its range; nothing of a chance that is not known."""
    if one.level == "not-known":
        return levels.level(one.level), ""
    number = numbers.in_100(one.p, numbers.rounding(one.low, one.high))
    return f"{number}, {levels.level(one.level)}", numbers.chance_range(one.low, one.high)


def _change(one: EntryConclusion, other: EntryConclusion) -> str:
    return numbers.change(other.p - one.p)


@coaching_role
@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
def what_if_page(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """Both sides of the change that a POST asks for, or accepts."""
    typed = request.POST
    edit, problem = _read(typed)
    if typed.get("do") != "accept":
        return _page(request, WhatIfPage(what_if(viewer, code, edit), typed, problem))
    if edit is not None and not problem:
        try:
            accept(viewer, code, edit)
            messages.success(request, gettext("The change is stored; the conclusions are being made again."))
            return redirect("athlete", code)
        except BadInput as wrong:
            problem = said(wrong)
    return _page(request, WhatIfPage(what_if(viewer, code, edit), typed, problem), 422)


def _read(typed: QueryDict) -> tuple[Edit | None, str]:
    """The change that was asked for, or what is not readable of it."""
    kind = typed.get("kind", "")
    if not kind:
        return None, ""
    day, late = typed.get("day", ""), typed.get("late_days", "")
    try:
        on = date.fromisoformat(day) if day and kind != "close-late" else None
    except ValueError:
        return None, gettext("The day is not a date.")
    if late and not late.isdecimal():
        return None, gettext("The days are not a whole number.")
    number = int(late[:6]) if late else None
    texts = {name: typed.get(name, "") for name in ("form", "event_id", "episode_id")}
    return Edit(kind, on, late_days=number, **texts), ""


def _page(request: HttpRequest, page: WhatIfPage, status: int = 200) -> HttpResponse:
    return render(request, "coaching/what_if.html", {"page": page}, status=status)
