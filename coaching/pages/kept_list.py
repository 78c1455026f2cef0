"""The morning list as a device keeps it for when there is no signal: these named fields, no photos, no notes, nothing
that is not on the list itself.
"""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.records.viewer import Viewer
from coaching.pages.decision_part import ANSWERS, DecisionLine
from coaching.pages.rows import Page, chance_of, range_of, reason_line
from coaching.pages.views import coaching_role
from coaching.usecases import clock
from coaching.usecases.contact import sharing
from coaching.usecases.morning_list import morning_list
from coaching.usecases.shown import AthleteShown
from coaching.usecases.waiting import waiting
from coaching.wording import levels, plans, verdicts

ROW = ("code", "name", "level", "level_word", "event", "chance", "range", "reason", "verdict")
DECISION = ("key", "code", "name", "event_id", "kind", "site", "about", "by", "what", "plan")


@coaching_role
@require_safe
@never_cache
def kept(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Rows and open decisions in words, with the moment and a digest of who shared what."""
    page = Page(morning_list(viewer))
    told = {
        "taken": clock.now().isoformat(), "sharing": sharing(viewer), "headline": page.headline, "known": page.known,
        "rows": [dict(zip(ROW, _row(line.show()), strict=True)) for line in page.shown.lines],
        "decisions": [dict(zip(DECISION, _decision(DecisionLine(one)), strict=True)) for one in waiting(viewer)],
        "answers": [(code, str(plans.ANSWERS[code])) for code in ANSWERS],
    }  # fmt: skip
    return JsonResponse(told)


def _row(one: AthleteShown) -> tuple[Any, ...]:
    entry, verdict = one.next_entry, verdicts.verdict(one.today)
    if entry is None:
        return (one.code, one.name, None, "", "", "", "", "", verdict)
    words = (levels.level(entry.level), levels.event_when(entry, one.as_of))
    chance = (chance_of(one, entry), range_of(one, entry), reason_line(one, entry).plain)
    return (one.code, one.name, entry.level, *words, *chance, verdict)


def _decision(line: DecisionLine) -> tuple[Any, ...]:
    found = line.found
    named = (line.key, line.code, line.name, found.entry.event.code, found.kind, found.site, found.about)
    return (*named, line.by, line.what, line.plan)
