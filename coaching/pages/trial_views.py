"""Trials of the squad, and bottles for the person who fills them."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.records.viewer import Viewer
from coaching.pages.views import coaching_role
from coaching.rules import rulebook
from coaching.usecases.trial_squad import Tried, bottles, squad_trials
from coaching.wording import care, cautions, trial_results, trials


@dataclass(frozen=True)
class Line:
    """One trial of one athlete."""

    code: str
    name: str
    number: int
    question: str
    days: str
    result: str
    bottles: bool


@coaching_role
@require_safe
@never_cache
def squad(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Who has tried what, with what result."""
    found = squad_trials(viewer)
    stands = [(one.athlete.name, trial_results.stands(one.stands.items(), own=False)) for one in found if one.stands]
    shown = {"lines": [line for one in found for line in _lines(one)], "stands": stands, "here": "trials"}
    return render(request, "coaching/trials.html", shown)


def _lines(one: Tried) -> list[Line]:
    said = trial_results.lines(one.rows)
    return [
        Line(one.athlete.code, one.athlete.name, row.id, *words, row.hidden and row.ended_on is None)
        for row, words in zip(one.rows, said, strict=True)
    ]


@coaching_role
@require_safe
@never_cache
def trial_bottles(request: HttpRequest, viewer: Viewer, code: str, number: int) -> HttpResponse:
    """What each bottle of a hidden trial holds."""
    found = bottles(viewer, number, code)
    what, rule = care.form(found.row.form), rulebook.current().forms[found.row.form]
    shown = {
        "found": found, "here": "trials", "question": trials.question_of(found.row),
        "caution": cautions.rule(rule.caution),
        "bottles": [(n, what if holds else gettext("water")) for n, holds in enumerate(found.holds, 1)],
    }  # fmt: skip
    return render(request, "coaching/trial_bottles.html", shown)
