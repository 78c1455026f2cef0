"""Paired, interleaved times: what is compared runs in turns, so that a slow minute meets all alike."""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Taken:
    """What one run took: time of this process on the processor, and time on the clock."""

    cpu_s: float
    wall_s: float


@dataclass(frozen=True)
class Work:
    """Something to be timed; `before` is done untimed each time, and `units` is how many athletes it serves."""

    run: Callable[[], object]
    units: int = 1
    before: Callable[[], object] | None = None


def interleaved(works: Mapping[str, Work], repeats: int) -> dict[str, list[Taken]]:
    """Run each in turn, so many times, forwards and backwards by turns, with the collector at rest while timed."""
    found: dict[str, list[Taken]] = {name: [] for name in works}
    for turn in range(repeats):
        names = list(works) if turn % 2 == 0 else list(reversed(works))
        for name in names:
            found[name].append(_timed(works[name]))
    return found


def _timed(work: Work) -> Taken:
    if work.before:
        work.before()
    gc.collect()
    gc.disable()
    try:
        cpu_s, wall_s = time.process_time(), time.perf_counter()
        work.run()
        return Taken(time.process_time() - cpu_s, time.perf_counter() - wall_s)
    finally:
        gc.enable()


def summary(works: Mapping[str, Work], taken: Mapping[str, list[Taken]]) -> dict[str, Any]:
    """Medians and least times of each, for the whole run and for one athlete."""
    return {name: _summed(taken[name], works[name].units) for name in works}


def _summed(taken: list[Taken], units: int) -> dict[str, float]:
    cpu_s, wall_s = [t.cpu_s for t in taken], [t.wall_s for t in taken]
    return {
        "units": units,
        "cpu_median_s": statistics.median(cpu_s),
        "cpu_least_s": min(cpu_s),
        "wall_median_s": statistics.median(wall_s),
        "wall_least_s": min(wall_s),
        "cpu_median_s_per_unit": statistics.median(cpu_s) / units,
    }


def ratio(of: str, to: str, found: Mapping[str, dict[str, float]]) -> dict[str, Any]:
    """How many times longer the one takes than the other for each unit, by least and by median times."""
    a, b = found[of], found[to]
    scale = b["units"] / a["units"]
    keys = ("cpu_median_s", "cpu_least_s", "wall_median_s", "wall_least_s")
    return {"of": of, "to": to} | {key.removesuffix("_s"): round(scale * a[key] / b[key], 4) for key in keys}
