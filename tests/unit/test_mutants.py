"""The runner of mutants tells a fault from none: it kills a plain one, and says where nothing looked."""

from __future__ import annotations

import argparse
import ast
import subprocess
import sys
from pathlib import Path

import pytest

from tests.mutants.listed import listed
from tests.mutants.mutate import Mutant, files_of, modules, mutants, mutated, source
from tests.mutants.run import Judge, drawn

ROOT = Path(__file__).parents[2]
FAULT = ("brier", "2 to 3")


def fault() -> Mutant:
    return next(one for one in mutants("scoring") if (one.function, one.what) == FAULT)


def run(*options: str) -> subprocess.CompletedProcess[str]:
    """The runner as a program of its own: science is loaded here already, without a fault."""
    command = [sys.executable, "-m", "tests.mutants.run", *options]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=300)


def test_every_place_gives_another_module_and_only_one_fault() -> None:
    found = mutants("load_compared")
    plain = ast.unparse(ast.parse(source("load_compared")))
    texts = [ast.unparse(mutated("load_compared", one.place)) for one in found]
    assert len(set(texts)) == len(texts) > 10 and plain not in texts
    for text in texts:
        changed = [a for a, b in zip(plain.splitlines(), text.splitlines(), strict=True) if a != b]
        assert len(changed) == 1


def test_a_place_that_is_not_there_is_refused() -> None:
    with pytest.raises(ValueError, match="places"):
        mutated("load_compared", 10_000)


def test_every_module_but_the_rows_of_the_register_can_be_drawn() -> None:
    names = set(modules())
    assert {"scoring", "air/sun"} <= names and not any("quantity_rows" in name for name in names)


def test_tests_of_a_module_are_those_it_names_and_those_that_import_it() -> None:
    files = files_of(fault())
    assert files[0] == "tests/reference/test_scoring_published.py"  # named by the function itself
    assert "tests/reference/test_scores_library.py" in files  # imports the module
    assert "tests/unit/test_air_day.py" not in files


def test_a_fault_is_killed_by_its_tests_and_lives_where_they_do_not_look() -> None:
    other = next(one for one in mutants("load_compared") if one.what == "Div to Mult")
    looking = "tests/reference/test_scoring_published.py"
    told = run("--only", fault().name, other.name, "--tests", looking, "--least", "0.6")
    assert told.returncode == 1 and "all: killed 1 of 2, 50%" in told.stdout, told.stdout + told.stderr
    assert f"survived: {other}" in told.stdout and str(fault()) not in told.stdout


def test_a_function_without_a_test_is_said_to_have_none() -> None:
    assert Judge({"scoring": []}).killed(fault()) is None


def test_what_is_listed_as_changing_nothing_is_there_and_gives_a_reason() -> None:
    for one in listed():
        found = [mutant for mutant in mutants(one.module) if one.means(mutant)]
        assert len(found) == 1 and len(one.reason) > 20, one


def test_lots_hang_on_the_words_of_a_fault_alone() -> None:
    """A module more in the draw changes no order among the others; another seed does."""
    def draw(seed: int, *names: str) -> list[str]:
        chosen = argparse.Namespace(modules=names, only=None, count=10_000)
        return [one.name for one in drawn(chosen, seed) if one.module == "scoring"]

    assert draw(1, "scoring") == draw(1, "scoring", "normal") != draw(2, "scoring")
