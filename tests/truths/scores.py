"""Forecast files against what a truth knows: skill over the squad's average, calibration, coverage, non-response."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from tests.truths.kept import Floats, Truth
from tests.truths.written import FIRST_DAY


@dataclass(frozen=True)
class Scores:
    skill: float  # Brier skill over the squad's average
    skill_skin: float  # damage left out
    known: float  # the same skill of one who knows levels and limits of the very day; a ceiling that nobody reaches
    gap: float  # calibration error over ten bins
    perfect_gap: float  # that of chances that are perfect, as many of them
    mean: float
    happened: float
    coverage: Mapping[str, tuple[float, float, float]]  # of reported ratings by 50, 80 and 95 % ranges
    responds: float  # area under the curve of "does not respond", nan where nobody took an agent


def scores(truth: Truth, file: Path, horizon: int) -> Scores:
    with file.open(newline="", encoding="utf-8") as text:
        rows = [row for row in csv.DictReader(text) if row["horizon_days"] == str(horizon)]
    who = np.array([int(row["athlete_id"][1:]) for row in rows])
    day = np.array([(date.fromisoformat(row["target_date"]) - FIRST_DAY).days for row in rows])

    def column(name: str) -> Floats:
        return np.array([float(row[name]) for row in rows])

    good, fine, p = 1.0 - truth.limited[who, day], 1.0 - truth.limited_by_skin[who, day], column("p_ready")
    rng = np.random.default_rng(0)
    perfect = [calibration_gap(p, (rng.random(p.shape) < p) * 1.0) for _ in range(20)]
    used = (truth.took[who, :].sum(axis=1) > 20) & (day == day.max())
    return Scores(
        skill=skill(p, good), skill_skin=skill(column("p_skin"), fine), known=skill(truth.p_skin[who, day], fine),
        gap=calibration_gap(p, good), perfect_gap=float(np.mean(perfect)), mean=float(p.mean()),
        happened=float(good.mean()), coverage={
            "reserve": _coverage(truth.reserve[who, day], column, "reserve"),
            "dampness": _coverage(truth.dampness[who, day], column, "dampness"),
        }, responds=area(column("p_no_response")[used], ~truth.responds[who][used]),
    )  # fmt: skip


def skill(p: Floats, good: Floats) -> float:
    return float(1.0 - np.mean((p - good) ** 2) / np.mean((good.mean() - good) ** 2))


def calibration_gap(p: Floats, good: Floats) -> float:
    bins = np.minimum((10 * p).astype(int), 9)
    gaps = [np.sum(bins == b) * abs(p[bins == b].mean() - good[bins == b].mean()) for b in np.unique(bins)]
    return float(np.sum(gaps) / p.size)


def area(score: Floats, positive: Any) -> float:
    """Chance that a positive scores higher than a negative, half for ties (Hanley & McNeil 1982)."""
    high, low = score[positive][:, None], score[~positive][None, :]
    return float(np.mean((high > low) + 0.5 * (high == low))) if high.size and low.size else float("nan")


def _coverage(rating: Any, column: Callable[[str], Floats], scale: str) -> tuple[float, float, float]:
    def share(low: str, high: str) -> float:
        return float(np.mean((rating >= column(f"{scale}_{low}")) & (rating <= column(f"{scale}_{high}"))))

    return share("q25", "q75"), share("q10", "q90"), share("q025", "q975")
