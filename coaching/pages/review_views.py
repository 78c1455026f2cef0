"""The review of an event that has begun."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.records.access_writing import COACHES
from athletes.records.viewer import Viewer
from coaching.pages.views import coaching_role
from coaching.usecases.event_notes import notes_of
from coaching.usecases.review import HORIZONS, Review, review
from coaching.wording import dates
from coaching.wording import review as words


@coaching_role
@require_safe
@never_cache
def event_review(request: HttpRequest, viewer: Viewer, code: str) -> HttpResponse:
    """What was said, what came, what had been missed."""
    found = review(viewer, code)
    shown = {
        "here": "event", "event": found.event, "over": found.over, "headline": words.headline(found),
        "days": dates.span(found.event.first_day, found.event.last_day, viewer.today),
        "against": words.against(found), "horizons": words.horizons(), "rows": _rows(found),
        "to_change": words.to_change(found.rows), "code": code, "may_write": bool(viewer.roles() & COACHES),
        "note": notes_of(viewer, code).get("review"), "note_label": gettext("What we do otherwise next time"),
    }  # fmt: skip
    return render(request, "coaching/review.html", shown)


def _rows(found: Review) -> list[dict[str, object]]:
    return [
        {
            "code": row.code, "name": row.name, "said": [words.said(row.said.get(days)) for days in HORIZONS],
            "came": words.came(row.came, row), "hurt": words.hurt(row.came, found), "missed": words.missed(row, found),
        }
        for row in found.rows
    ]  # fmt: skip
