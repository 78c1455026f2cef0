"""The runner of mutants tells a fault from none: it kills a plain one, and says where nothing looked."""

from __future__ import annotations

import ast

import pytest

from tests.mutants.mutate import Mutant, files_of, modules, mutants, mutated, source
from tests.mutants.run import killed


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
    assert "scoring" in set(modules()) and "quantity_rows" not in set(modules())


def test_a_fault_is_killed_by_the_tests_that_its_function_names() -> None:
    fault = next(one for one in mutants("scoring") if (one.function, one.what) == ("brier", "2 to 3"))
    assert "tests/reference/test_scoring_published.py" in files_of(fault)
    assert killed(fault) is True


def test_a_function_without_a_test_is_said_to_have_none(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.mutants.run.files_of", lambda mutant: [])
    assert killed(Mutant("scoring", 0, "brier", 1, "")) is None


def test_tests_that_do_not_see_a_fault_let_it_live(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.mutants.run.files_of", lambda mutant: ["tests/unit/test_quantities.py"])
    fault = next(one for one in mutants("scoring") if (one.function, one.what) == ("brier", "2 to 3"))
    assert killed(fault) is False
