"""All paths in one run, on databases of their own."""

from __future__ import annotations

import os
import platform
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import django
import numpy as np

from coaching.usecases import clock
from coaching.usecases.bench import recomputing
from coaching.usecases.bench.checkins import checkins
from coaching.usecases.bench.copies import large_squad
from coaching.usecases.bench.morning import morning
from coaching.usecases.bench.plans import plans
from coaching.usecases.throwaway import throwaway_database

Say = Callable[[str], None]


@dataclass(frozen=True)
class Size:
    """How much is measured: athletes, those of them for the yardstick, athletes a batch, and turns."""

    athletes: int = 1000
    naive: int = 8
    batch: int = 500
    repeats: int = 3


QUICK = Size(athletes=100, naive=2, batch=50, repeats=2)


def run(size: Size, postgres: str | None, say: Say) -> dict[str, Any]:
    """Measure every path; ratios are what counts, times only say on which machine they were taken."""
    began = time.perf_counter()
    say("check-ins")  # first: an address that nobody answers at ends the run before anything is measured
    found = {"checkins": checkins(postgres, size.repeats)}
    with throwaway_database():
        say(f"a squad of {size.athletes}")
        now = clock.now()
        ids, today = large_squad(size.athletes, now)
        say("recompute against the yardstick")
        found["recompute"] = recomputing.against_naive(ids, today, size.naive, size.repeats)
        say("batches against one")
        found["batches"] = recomputing.chunked(ids, today, size.batch, max(size.repeats - 1, 1))
        say("incremental against the whole history")
        found["incremental"] = recomputing.incremental(ids, today, size.repeats)
        say("plans")
        found["plans"] = plans(ids, today)
        say("the morning list")
        found["morning"] = morning(now, size.repeats)
    return {
        "format": "tenpads-bench",
        "version": 1,
        "made_at": now.isoformat(),
        "machine": _machine(),
        "size": vars(size),
        "paths": found,
        "seconds": round(time.perf_counter() - began, 1),
    }


def _machine() -> dict[str, Any]:
    return {
        "processors": os.cpu_count(),
        "python": platform.python_version(),
        "numpy": np.__version__,
        "django": django.get_version(),
    }
