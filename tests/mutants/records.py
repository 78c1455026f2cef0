"""Mutants of the modules that guard a record (`tests.bars.branches.MODULES`), against those of their own tests that
enter the function in which the fault lies.

    python -m tests.mutants.records --seed 1 --count 40 --minutes 10 --least 0.9

One process collects the tests and makes the database, and forks for each mutant; the child puts the fault's code into
the function as it stands, where everybody who imported it meets it, and runs until the first test fails. Faults that no
test can see are listed with their reasons in no_other_answers.toml and not counted.
"""

from __future__ import annotations

import argparse
import ast
import gc
import hashlib
import os
import pickle
import resource
import signal
import sys
import time
import types
from collections import Counter
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

import coverage
import pytest
from pytest_django.plugin import blocking_manager_key

from tests.bars.branches import MODULES, TESTS
from tests.mutants.listed import line_of, nth_of, rows_of, words_of
from tests.mutants.mutate import ROOT, Mutant, mutants, mutated, source

LIST = Path(__file__).with_name("no_other_answers.toml")
PATIENCE_S, TIMES, MOST_BYTES = 20.0, 5.0, 6 << 30
NAMES = [file.removesuffix(".py") for group in MODULES.values() for file in group]
Entered = dict[str, tuple[float, frozenset[tuple[str, str]]]]
"""By test: how long it took and which functions, as (module, name), it entered. Failing tests are not in it."""


def put(mutant: Mutant) -> None:
    """The fault, into every function of the module that there is: those that others imported, and those within."""
    file = str(import_module(mutant.module.replace("/", ".")).__file__)
    codes: dict[tuple[str, int], list[types.CodeType]] = {}
    for name, code in _codes(compile(mutated(mutant.module, mutant.place), file, "exec")):
        codes.setdefault(name, []).append(code)
    for one in gc.get_objects():
        # By its type alone: to ask a lazy object for its class makes it work.
        if type(one) is types.FunctionType and one.__code__.co_filename == file:
            like = [code for code in codes.get(_name(one.__code__), []) if code.co_freevars == one.__code__.co_freevars]
            if len(like) == 1:  # of two lambdas in one line neither is touched
                one.__code__ = like[0]


def _codes(code: types.CodeType) -> Iterator[tuple[tuple[str, int], types.CodeType]]:
    for inner in code.co_consts:
        if isinstance(inner, types.CodeType):
            yield _name(inner), inner
            yield from _codes(inner)


def _name(code: types.CodeType) -> tuple[str, int]:
    return code.co_qualname, code.co_firstlineno


class Loop:
    """The plugin: takes pytest's loop over, after everything is collected."""

    def __init__(self, chosen: argparse.Namespace) -> None:
        self.chosen, self.share = chosen, 0.0

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        from tests import databases

        try:
            with session.config.stash[blocking_manager_key].unblock():
                databases._template()
        except Exception as error:
            print(f"without PostgreSQL: {error}", flush=True)
        warm = next(item for item in session.items if item.get_closest_marker("django_db"))
        warm.config.hook.pytest_runtest_protocol(item=warm, nextitem=session.items[-1])  # the database is made
        entered = _answer(session.items, lambda items: _watched(items), longest_s=1800)
        if entered is None:
            raise pytest.UsageError("the tests do not end without a fault")
        print(f"{len(entered)} of {len(session.items)} tests pass without a fault", flush=True)
        self.share = _judged(self.chosen, session.items, entered)
        return True


def _run(item: pytest.Item, after: pytest.Item | None) -> bool:
    from _pytest.runner import runtestprotocol

    reports = runtestprotocol(item, log=False, nextitem=after)
    return all(report.passed or report.skipped for report in reports)


def _all(items: list[pytest.Item]) -> bool:
    return all(_run(item, after) for item, after in zip(items, [*items[1:], None], strict=True))


def _watched(items: list[pytest.Item]) -> Entered:
    """Run each once without a fault, and note how long it took and into which functions of the modules it went."""
    watch = coverage.Coverage(data_file=None, config_file=False, include=[str(ROOT / f"{name}.py") for name in NAMES])
    took: dict[str, float] = {}
    watch.start()
    for item, after in zip(items, [*items[1:], None], strict=True):
        watch.switch_context(item.nodeid)
        began = time.monotonic()
        if _run(item, after):
            took[item.nodeid] = time.monotonic() - began
        else:
            os.write(1, f"left out, it fails without a fault: {item.nodeid}\n".encode())
    watch.stop()
    seen: dict[str, set[tuple[str, str]]] = {name: set() for name in took}
    for name in NAMES:
        functions = _lines_of_functions(name)
        for line, tests in watch.get_data().contexts_by_lineno(str(ROOT / f"{name}.py")).items():
            for test in tests:
                seen.get(test, set()).update((name, one) for one in functions.get(line, ()))
    return {name: (seconds, frozenset(seen[name])) for name, seconds in took.items()}


def _lines_of_functions(module: str) -> dict[int, set[str]]:
    """Names of the functions that each line is inside of."""
    found: dict[int, set[str]] = {}
    for node in ast.walk(ast.parse(source(module))):
        if isinstance(node, ast.FunctionDef):
            for line in range(node.body[0].lineno, (node.end_lineno or node.lineno) + 1):
                found.setdefault(line, set()).add(node.name)
    return found


def _answer(items: list[pytest.Item], work: Any, longest_s: float) -> Any:
    """What the work says in a process of its own; None where it takes too long or ends otherwise."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.setsid()
            os.close(reading)
            resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, 2)
            with os.fdopen(writing, "wb") as out:
                pickle.dump(work(items), out)
        finally:
            os._exit(0)
    os.close(writing)
    until, told = time.monotonic() + longest_s, b""
    os.set_blocking(reading, False)
    while time.monotonic() < until:
        part = _read(reading)
        if part == b"":
            break
        told += part or b""
        if part is None:
            time.sleep(0.01)
    os.close(reading)
    for _ in range(2):
        try:
            os.killpg(child, signal.SIGKILL)
            break
        except ProcessLookupError:
            time.sleep(0.01)
    os.waitpid(child, 0)
    return pickle.loads(told) if told else None  # noqa: S301 - what our own child wrote


def _read(reading: int) -> bytes | None:
    try:
        return os.read(reading, 1 << 16)
    except BlockingIOError:
        return None


def drawn(chosen: argparse.Namespace, seed: int) -> list[Mutant]:
    """The mutants of a seed, by lots that hang on their own words."""
    every = [one for name in chosen.modules or NAMES for one in mutants(name)]
    if chosen.only:
        return [one for one in every if one.name in chosen.only]
    lots = {one: hashlib.sha256(f"{seed} {words_of(one)} {nth_of(one)}".encode()).digest() for one in every}
    return sorted(every, key=lots.__getitem__)[: chosen.count]


def _judged(chosen: argparse.Namespace, items: list[pytest.Item], entered: Entered) -> float:
    until, fates = time.monotonic() + 60.0 * chosen.minutes, Counter[str]()
    listed = rows_of(LIST)
    sound = [item for item in items if item.nodeid in entered][:40]
    if _answer(sound, lambda tests: _all(tests), PATIENCE_S + 600.0) is not True:
        raise pytest.UsageError("tests fail in a process of their own though nothing was put in")
    for mutant in drawn(chosen, chosen.seed):
        if time.monotonic() > until:
            break
        reason = next((one.reason for one in listed if one.means(mutant)), "")
        fate = "alike" if reason else _fate(mutant, items, entered)
        fates[fate] += 1
        if fate != "killed":
            print(f"{fate}: {mutant}: {line_of(mutant)}{': ' + reason if reason else ''}", flush=True)
    run = fates.total() - fates["alike"]
    share = fates["killed"] / run if run else 0.0
    print(f"records: killed {fates['killed']} of {run}, {share:.0%}; {fates['alike']} give no other answer", flush=True)
    return share


def _fate(mutant: Mutant, items: list[pytest.Item], entered: Entered) -> str:
    mine = {n: took for n, (took, seen) in entered.items() if (mutant.module, mutant.function) in seen}
    if not mine:
        return "has no test"
    asked = sorted((item for item in items if item.nodeid in mine), key=lambda item: mine[item.nodeid])

    def work(tests: list[pytest.Item]) -> bool:
        put(mutant)
        return _all(tests)

    began, longest_s = time.monotonic(), TIMES * sum(mine.values()) + PATIENCE_S
    lives = _answer(asked, work, longest_s)
    if lives is None and time.monotonic() - began < longest_s:
        return "broke the runner"
    return "survived" if lives else "killed"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--modules", nargs="*", default=None, help="as athletes/records/access; all without")
    parser.add_argument("--only", nargs="*", default=None, help="these places alone, as athletes/records/access:12")
    parser.add_argument("--least", type=float, default=0.0, help="share to be killed, else the exit code is 1")
    chosen = parser.parse_args()
    os.environ["COACHING_NO_BOOTSTRAP"] = "1"
    loop = Loop(chosen)
    options = ["-q", "-x", "-p", "no:cacheprovider", "--rootdir", str(ROOT), "--show-capture=no", "--tb=no"]
    code = pytest.main([*options, "-m", "not slow", *TESTS], plugins=[loop])
    return 0 if code in (0, 5) and loop.share >= chosen.least else 1


if __name__ == "__main__":
    sys.exit(main())
