"""Paired, interleaved times: what is compared runs in turns, so that a slow minute meets all alike."""

from __future__ import annotations

import gc
import statistics
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any


@dataclass(frozen=True)
class Taken:
    """What one run took: time of this process on the processor, and time on the clock."""

    cpu_s: float
    wall_s: float


@dataclass(frozen=True)
class Work:
    """Something to be timed; `before` is done untimed each time, and `units` is how many athletes it serves. Where
    other processes do it (`apart`), `run` returns the seconds on the processor that it took them.
    """

    run: Callable[[], object]
    units: int = 1
    before: Callable[[], object] | None = None
    apart: bool = False


@dataclass(frozen=True)
class Turns:
    """How often each is run: so many turns, or fewer where another would not end in time. One there always is."""

    most: int
    seconds: float = float("inf")

    def at_least(self, turns: int) -> Turns:
        """For works that cost little, of which more turns are to be had for nothing."""
        return Turns(max(self.most, turns), self.seconds)


def interleaved(works: Mapping[str, Work], turns: Turns) -> dict[str, list[Taken]]:
    """Run each in turn, forwards and backwards by turns, with the collector at rest while timed."""
    found: dict[str, list[Taken]] = {name: [] for name in works}
    began, longest_s = time.perf_counter(), 0.0
    for turn in range(turns.most):
        started = time.perf_counter()
        if turn and started - began + longest_s > turns.seconds:
            break
        names = list(works) if turn % 2 == 0 else list(reversed(works))
        for name in names:
            found[name].append(_timed(works[name]))
        longest_s = max(longest_s, time.perf_counter() - started)
    return found


def _timed(work: Work) -> Taken:
    if work.before:
        work.before()
    gc.collect()
    gc.disable()
    try:
        cpu_s, wall_s = time.process_time(), time.perf_counter()
        told = work.run()
        taken = Taken(time.process_time() - cpu_s, time.perf_counter() - wall_s)
        return replace(taken, cpu_s=taken.cpu_s + told) if work.apart and isinstance(told, float) else taken
    finally:
        gc.enable()


def summary(works: Mapping[str, Work], taken: Mapping[str, list[Taken]]) -> dict[str, Any]:
    """Every time of each, with the medians and the least; for the whole run and for one athlete."""
    return {name: _summed(taken[name], works[name].units) for name in works}


def _summed(taken: list[Taken], units: int) -> dict[str, Any]:
    cpu_s, wall_s = [t.cpu_s for t in taken], [t.wall_s for t in taken]
    return {
        "units": units,
        "turns": len(taken),
        "cpu_median_s": statistics.median(cpu_s),
        "cpu_least_s": min(cpu_s),
        "wall_median_s": statistics.median(wall_s),
        "wall_least_s": min(wall_s),
        "cpu_median_s_per_unit": statistics.median(cpu_s) / units,
        "each_turn": {"cpu": cpu_s, "wall": wall_s},
    }


def ratio(of: str, to: str, found: Mapping[str, dict[str, Any]]) -> dict[str, Any]:
    """How many times longer the one takes than the other for each unit: by medians, by least times, and by the median
    of what each turn alone says.
    """
    a, b = found[of], found[to]
    scale = b["units"] / a["units"]
    keys = ("cpu_median_s", "cpu_least_s", "wall_median_s", "wall_least_s")
    said = {key.removesuffix("_s"): round(scale * a[key] / b[key], 4) for key in keys}
    return {"of": of, "to": to} | said | {f"{kind}_paired": _paired(a, b, kind, scale) for kind in ("cpu", "wall")}


def _paired(a: Mapping[str, Any], b: Mapping[str, Any], kind: str, scale: float) -> float:
    both = zip(a["each_turn"][kind], b["each_turn"][kind], strict=True)
    return round(statistics.median(scale * one / other for one, other in both), 4)
