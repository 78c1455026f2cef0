"""Draw mutants by a seed, run each against its own tests, and say which survived.

One process loads the general libraries and forks for each mutant, so that none pays for them again. The tests of a
mutant first run without a fault: what fails then says nothing of a fault. Tests marked slow are left out.
"""

from __future__ import annotations

import argparse
import hashlib
import math
import os
import resource
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterable
from importlib import import_module

from tests.mutants.listed import listed, nth_of, words_of
from tests.mutants.mutate import ROOT, Mutant, files_of, modules, mutants

PATIENCE_S = 20.0
TIMES = 4.0
"""A fault hangs where its tests take so many times their own time, and that much longer."""
MOST_BYTES = 4 << 30
PASSED = (0, 5)
"""Exit codes of pytest: all passed; none collected, where all of a file are slow."""
LIBRARIES = ("hypothesis.extra.numpy", "scipy.optimize", "scipy.stats")
PLUGINS = ("no:cacheprovider", "no:django", "_hypothesis_pytestplugin", "tests.mutants.plugin")
OPTIONS = (
    "-q", "-x", "-m", "not slow", "-c", os.devnull, "--rootdir", str(ROOT), "--import-mode=importlib", "--noconftest",
    "--assert=plain", *(word for name in PLUGINS for word in ("-p", name)),
)  # fmt: skip
"""Tests of science ask neither for the web framework nor for words about what failed; both would be paid each time."""


def preload() -> None:
    """General libraries only: a module of ours that is here already could not be loaded with a fault."""
    for name in LIBRARIES:
        import_module(name)
    os.environ.update(PYTEST_DISABLE_PLUGIN_AUTOLOAD="1", COACHING_NO_BOOTSTRAP="1")
    if ours := [name for name in sys.modules if name.split(".")[0] == "coaching"]:
        raise RuntimeError(f"start it as a program of its own; loaded already: {ours[0]}")


def passes(tests: Iterable[str], fault: str = "", longest_s: float = 600.0) -> bool | None:
    """Whether the tests pass with that fault in, None where they take too long."""
    child = os.fork()
    if child == 0:
        _run_tests(list(tests), fault)
    until = time.monotonic() + longest_s
    while time.monotonic() < until:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status) in PASSED
        time.sleep(0.02)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return None


def _run_tests(tests: list[str], fault: str) -> None:
    import pytest

    code = 1
    try:
        os.setsid()
        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        os.environ["MUTANT"] = fault
        code = int(pytest.main([*OPTIONS, *tests]))
    finally:
        os._exit(code)


class Judge:
    """Says what became of a mutant; keeps how long each test file takes without one."""

    def __init__(self, others: dict[str, list[str]] | None = None) -> None:
        self._took: dict[str, float] = {}
        self._others = others or {}

    def _seconds(self, path: str) -> float:
        if path not in self._took:
            start = time.monotonic()
            sound = passes([path])
            self._took[path] = time.monotonic() - start if sound else math.inf
            if math.isinf(self._took[path]):
                print(f"left out, it fails without a fault: {path}", flush=True)
        return self._took[path]

    def killed(self, mutant: Mutant) -> bool | None:
        """Whether a test failed; None where nothing tests the function. A fault that hangs is killed by its time."""
        asked = self._others.get(mutant.module, files_of(mutant))
        took = {path: took for path in asked if (took := self._seconds(path)) < math.inf}
        if not took:
            return None
        longest_s = TIMES * sum(took.values()) + PATIENCE_S
        return passes(sorted(took, key=lambda path: took[path]), mutant.name, longest_s) is not True


def drawn(chosen: argparse.Namespace, seed: int) -> list[Mutant]:
    """The mutants of a seed, by lots that hang on their own words: a change elsewhere draws no others."""
    every = [one for name in chosen.modules or modules() for one in mutants(name)]
    if chosen.only:
        return [one for one in every if one.name in chosen.only]
    lots = {one: hashlib.sha256(f"{seed} {words_of(one)} {nth_of(one)}".encode()).digest() for one in every}
    return sorted(every, key=lots.__getitem__)[: chosen.count]


def tried(mine: list[Mutant], judge: Judge, until: float) -> Counter[str]:
    """What became of each, counted; those that live are told at once."""
    known, fates = listed(), Counter[str]()
    for mutant in mine:
        if time.monotonic() > until:
            break
        reason = next((one.reason for one in known if one.means(mutant)), "")
        dead = None if reason else judge.killed(mutant)
        fate = "alike" if reason else {True: "killed", False: "survived", None: "has no test"}[dead]
        fates[fate] += 1
        if fate != "killed":
            print(f"{fate}: {mutant}{': ' + reason if reason else ''}", flush=True)
    return fates


def told(name: str, fates: Counter[str]) -> float:
    """Say the share killed of those that change a number; returns it."""
    run = fates.total() - fates["alike"]
    share = fates["killed"] / run if run else 0.0
    print(f"{name}: killed {fates['killed']} of {run}, {share:.0%}; {fates['alike']} change no number", flush=True)
    return share


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, nargs="+", default=[1])
    parser.add_argument("--count", type=int, default=40, help="mutants of each seed")
    parser.add_argument("--minutes", type=float, default=15.0)
    parser.add_argument("--modules", nargs="*", default=None, help="as filtering or air/sun; all without")
    parser.add_argument("--only", nargs="*", default=None, help="these places alone, as filtering:12")
    parser.add_argument("--tests", nargs="*", default=None, help="against these test files in place of their own")
    parser.add_argument("--least", type=float, default=0.0, help="share to be killed, else the exit code is 1")
    chosen = parser.parse_args()
    preload()
    judge = Judge(dict.fromkeys(modules(), chosen.tests) if chosen.tests is not None else None)
    until, whole = time.monotonic() + 60.0 * chosen.minutes, Counter[str]()
    for seed in chosen.seed:
        fates = tried(drawn(chosen, seed), judge, until)
        told(f"seed {seed}", fates)
        whole += fates
    return 0 if told("all", whole) >= chosen.least else 1


if __name__ == "__main__":
    sys.exit(main())
