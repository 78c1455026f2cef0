"""Every public function of science says what it takes, gives, raises and assumes, and where it comes from."""

import importlib
import inspect
import pkgutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from coaching import science

ROOT = Path(__file__).parents[2]
NAMES = sorted(module.name for module in pkgutil.walk_packages(science.__path__, "coaching.science."))
SECTIONS = ("Parameters:", "Returns:", "Raises:", "Assumes:", "Source:")


def public() -> Iterator[tuple[str, Callable[..., Any]]]:
    for name in NAMES:
        module = importlib.import_module(name)
        for key, value in vars(module).items():
            if inspect.isfunction(value) and value.__module__ == name and not key.startswith("_"):
                yield f"{name}.{key}", value
            if inspect.isclass(value) and value.__module__ == name and key == "Model":
                yield from ((f"{name}.Model.{k}", f) for k, f in vars(value).items()
                            if inspect.isfunction(f) and not k.startswith("_"))  # fmt: skip


FUNCTIONS = dict(public())


def test_all_modules_are_read() -> None:
    assert len(NAMES) >= 15 and len(FUNCTIONS) >= 80


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_docstring_has_its_sections(name: str) -> None:
    text = inspect.getdoc(FUNCTIONS[name]) or ""
    missing = [section for section in SECTIONS if f"\n{section}" not in text]
    assert not missing, f"{name} lacks {missing}"


@pytest.mark.parametrize("name", sorted(FUNCTIONS))
def test_a_test_named_as_source_exists(name: str) -> None:
    words = (inspect.getdoc(FUNCTIONS[name]) or "").replace(";", " ").replace(",", " ").split()
    named = [word.rstrip(".") for word in words if word.startswith("tests/")]
    assert all((ROOT / path).exists() for path in named), named


def test_science_imports_without_the_web_framework() -> None:
    block = "import sys; sys.modules.update(dict.fromkeys(('django', 'rest_framework', 'celery')))"
    code = f"{block}\nimport importlib\nfor name in {NAMES!r}: importlib.import_module(name)"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_no_module_of_science_is_too_long() -> None:
    lengths = {name: len(inspect.getsource(importlib.import_module(name)).splitlines()) for name in NAMES}
    assert max(lengths.values()) <= 450, lengths
