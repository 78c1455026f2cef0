"""Trials as their templates read them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from athletes.pages.drawings import drawn
from athletes.records.queries_trials import TrialRow
from coaching.drawing.trial_dots import DotsPair, draw_dots
from coaching.usecases.trial_arm import Arm
from coaching.usecases.trial_board import TrialShown
from coaching.wording import care, dates, trial_results, trials

TOPS = {"dampness": 10.0, "sting": 10.0, "limited": 1.0, "loss": 4.0}


@dataclass(frozen=True)
class ArmShown:
    """A day of a running trial."""

    day: str
    iso: str
    asks: str
    where: str
    told: str
    use_asked: bool
    read: bool
    refused: bool


def arm(shown: TrialShown, found: Arm) -> ArmShown:
    due = bool(found.bottle) if shown.row.hidden else bool(found.use and any(found.use))
    return ArmShown(
        dates.heading_day(found.day), found.day.isoformat(), trials.arm(shown.row, found),
        trials.place(shown.row, found, shown.blocks), trials.told(found, shown.row), due and not found.not_today,
        found.read, bool(found.not_today),
    )  # fmt: skip


@dataclass(frozen=True)
class ResultShown:
    """What came of a trial: words, every answer as a dot, and the same as a table."""

    verdict: str
    effect: str
    why: list[str]
    checks: list[tuple[str, str]]
    counted: str
    picture: SafeString
    heads: tuple[str, str]
    table: list[tuple[int, str, str]]


def result(row: TrialRow) -> ResultShown | None:
    if row.ended_on is None:
        return None
    pairs = [
        DotsPair(dots[1 if first else 0], dots[0 if first else 1], bool(first))
        for dots, first in zip(row.result.get("dots") or [], row.result.get("order") or [], strict=False)
    ]
    heads = (gettext("without"), gettext("with %(what)s") % {"what": care.form(row.form)})
    table = [(n, _list(pair.usual), _list(pair.change)) for n, pair in enumerate(pairs, 1)]
    top = TOPS[row.outcome]
    title = gettext("Every answer of the trial, pair by pair: %(outcome)s") % {"outcome": trials.SHORT[row.outcome]}
    ticks = [(0.0, "0"), (top / 2, f"{top / 2:g}"), (top, f"{top:g}")]
    return ResultShown(
        trial_results.verdict(row), trial_results.effect(row), trial_results.why(row), trial_results.checks(row),
        trial_results.counted(row), drawn(draw_dots(pairs, top, title, ticks)), heads, table,
    )  # fmt: skip


def _list(values: Sequence[float]) -> str:
    return ", ".join(f"{value:g}" for value in values) or gettext("not told")
