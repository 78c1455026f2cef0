"""The lists of published values and of invariants name tests that exist, and hide nothing."""

import ast
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]


def rows(path: str, name: str) -> list[dict[str, Any]]:
    return tomllib.loads((ROOT / path).read_text(encoding="utf-8"))[name]


VALUES = rows("tests/reference/published.toml", "value")
INVARIANTS = rows("tests/property/invariants.toml", "invariant")


@cache
def functions(path: str) -> frozenset[str]:
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    return frozenset(node.name for node in tree.body if isinstance(node, ast.FunctionDef))


def test_both_lists_are_whole() -> None:
    assert len(VALUES) == 25 and len(INVARIANTS) == 12
    assert len({row["says"] for row in [*VALUES, *INVARIANTS]}) == 37


@pytest.mark.parametrize("row", [*VALUES, *INVARIANTS], ids=lambda row: row["says"][:40])
def test_every_named_test_is_there(row: dict[str, Any]) -> None:
    for name in row["tests"]:
        path, _, function = name.partition("::")
        assert function in functions(path), name


@pytest.mark.parametrize("row", VALUES, ids=lambda row: row["says"][:40])
def test_a_value_is_held_or_said_not_to_be_computed(row: dict[str, Any]) -> None:
    assert row["tests"] or len(row["without"]) > 20


@pytest.mark.parametrize("row", INVARIANTS, ids=lambda row: row["says"][:40])
def test_an_invariant_is_held_by_made_up_courses(row: dict[str, Any]) -> None:
    """At least one of its tests draws its cases."""
    drawing = [name for name in row["tests"] if drawn(*name.split("::"))]
    assert drawing, row["says"]


@cache
def drawn(path: str, function: str) -> bool:
    tree = ast.parse((ROOT / path).read_text(encoding="utf-8"))
    found = next(node for node in tree.body if isinstance(node, ast.FunctionDef) and node.name == function)
    calls = [one.func for one in found.decorator_list if isinstance(one, ast.Call)]
    return any(isinstance(one, ast.Name) and one.id == "given" for one in calls)
