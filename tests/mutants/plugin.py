"""Lets one module be imported with its fault; `pytest -p tests.mutants.plugin` with MUTANT=module:place, or nothing.

A property that fails is not made smaller first: that it fails is all that is asked.
"""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import os
import sys
from collections.abc import Sequence
from types import ModuleType

import pytest
from hypothesis import Phase, settings

from tests.mutants.mutate import SCIENCE, mutated


class _Faulty(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    def __init__(self, module: str, place: int) -> None:
        self._name = "coaching.science." + module.replace("/", ".")
        self._code = compile(mutated(module, place), str(SCIENCE / f"{module}.py"), "exec")

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        return importlib.machinery.ModuleSpec(fullname, self) if fullname == self._name else None

    def exec_module(self, module: ModuleType) -> None:
        exec(self._code, module.__dict__)  # noqa: S102 - our own source with one fault


def pytest_configure(config: pytest.Config) -> None:
    """The same examples in every run, as tests/conftest.py has it; before any test is imported."""
    phases = (Phase.explicit, Phase.generate)
    settings.register_profile("faults", derandomize=True, deadline=None, phases=phases, database=None)
    settings.load_profile("faults")


if wanted := os.environ.get("MUTANT"):
    name, _, place = wanted.rpartition(":")
    sys.meta_path.insert(0, _Faulty(name, int(place)))
