"""All paths in one run, on databases of their own; each path's figures are told as soon as they are there."""

from __future__ import annotations

import os
import platform
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

import django
import numpy as np

from coaching.usecases import clock
from coaching.usecases.bench import recomputing
from coaching.usecases.bench.checkins import checkins
from coaching.usecases.bench.copies import large_squad
from coaching.usecases.bench.morning import morning
from coaching.usecases.bench.plans import plans
from coaching.usecases.bench.server import own_database
from coaching.usecases.bench.timing import Turns
from coaching.usecases.throwaway import throwaway_database

Say = Callable[[str], None]
Keep = Callable[[dict[str, Any]], None]


@dataclass(frozen=True)
class Size:
    """How much is measured: athletes on the list and in the large pass, those of them that the several passes are
    compared on, those for the yardstick, athletes a batch (two batches against one pass), turns, and about how long
    the turns may take together.
    """

    athletes: int = 1000
    compared: int = 250
    naive: int = 3
    batch: int = 250
    repeats: int = 3
    seconds: float = 360.0


QUICK = Size(athletes=48, compared=24, naive=1, batch=12, repeats=1, seconds=30.0)
SHARES = {
    "checkins": 0.15, "recompute": 0.35, "batches": 0.1, "filters": 0.05, "slope": 0.2, "morning": 0.05, "plans": 0.1,
}  # fmt: skip
"""Of the time for turns; what a path makes ready before them, and one turn of each, there is always time for."""


def run(size: Size, postgres: str | None, say: Say, keep: Keep) -> None:
    """Measure every path; ratios are what counts, times only say on which machine they were taken.

    `keep` is handed all that is known after each path, so that a run that is ended early has told what it measured.
    """
    began, now = time.perf_counter(), clock.now()
    found: dict[str, Any] = {
        "format": "tenpads-bench",
        "version": 2,
        "made_at": now.isoformat(),
        "machine": _machine(),
        "size": vars(size),
        "database": "postgresql" if postgres else "sqlite",
        "complete": False,
        "seconds": 0.0,
        "paths": {},
    }

    def path(name: str, measure: Callable[[], dict[str, Any]]) -> None:
        say(f"{name} ...")
        started = time.perf_counter()
        found["paths"][name] = measure()
        found["seconds"] = round(time.perf_counter() - began, 1)
        keep(found)
        for line in told(found["paths"][name]):
            say(f"  {line}")
        say(f"  {time.perf_counter() - started:.1f} s")

    # First: an address that nobody answers at ends the run before anything is measured.
    path("checkins", lambda: checkins(postgres, _turns(size, "checkins").at_least(5)))
    with own_database(postgres) if postgres else throwaway_database():
        say(f"a squad of {size.athletes} ...")
        ids, today = large_squad(size.athletes, now)
        _of_squad(path, size, ids, today, now)
    found["complete"], found["seconds"] = True, round(time.perf_counter() - began, 1)
    keep(found)


def _of_squad(
    path: Callable[[str, Callable[[], dict[str, Any]]], None], size: Size, ids: list[int], today: date, now: datetime
) -> None:
    few = ids[: size.compared]
    path("recompute", lambda: recomputing.passes(few, today, size.naive, _turns(size, "recompute")))
    path("batches", lambda: recomputing.chunked(ids[: 2 * size.batch], today, size.batch, _turns(size, "batches")))
    path("filters", lambda: recomputing.filters(few, today, _turns(size, "filters")))
    path("slope", lambda: recomputing.slope(ids, today, _turns(size, "slope")))
    path("morning", lambda: morning(now, _turns(size, "morning").at_least(5)))
    path("plans", lambda: plans(ids, today, _turns(size, "plans").seconds))


def _turns(size: Size, path: str) -> Turns:
    return Turns(size.repeats, size.seconds * SHARES[path])


def told(found: dict[str, Any]) -> list[str]:
    """One line for each ratio of a path."""
    if "skipped" in found:
        return [f"skipped: {found['skipped']}"]
    ratios = {name: value for name, value in found.items() if isinstance(value, dict) and {"of", "to"} <= set(value)}
    kinds = ("cpu_median", "cpu_paired", "wall_median", "wall_paired")
    return [f"{name}: " + ", ".join(f"{kind} {value[kind]:g}" for kind in kinds) for name, value in ratios.items()]


def _machine() -> dict[str, Any]:
    return {
        "processors": os.cpu_count(),
        "load": os.getloadavg(),
        "python": platform.python_version(),
        "numpy": np.__version__,
        "django": django.get_version(),
    }
