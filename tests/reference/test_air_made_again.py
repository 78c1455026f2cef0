"""The recorded reference values of the air, made anew where the general libraries are installed."""

import json
import runpy
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
LIBRARIES = ("ht", "metpy", "psychrolib", "pvlib")
MISSING = [name for name in LIBRARIES if find_spec(name) is None]


def numbers(tree: Any) -> list[Any]:
    if isinstance(tree, dict):
        return [leaf for key in sorted(tree) for leaf in numbers(tree[key])]
    return [leaf for item in tree for leaf in numbers(item)] if isinstance(tree, list) else [tree]


@pytest.mark.slow
@pytest.mark.skipif(bool(MISSING), reason=f"not installed, see requirements-reference.lock: {MISSING}")
@pytest.mark.parametrize("name", ["psychrometrics.json", "sun.json", "cylinder.json", "weather.json"])
def test_the_same_values_come_out_again(name: str) -> None:
    made = runpy.run_path(str(ROOT / "tests/reference/make.py"))["FILES"][name]()
    made = json.loads(json.dumps(made))  # keys become words, as in the file
    recorded = json.loads((ROOT / "fixtures/reference/air" / name).read_text())
    assert len(numbers(made)) == len(numbers(recorded))
    for new, old in zip(numbers(made), numbers(recorded), strict=True):
        assert new == (pytest.approx(old, rel=1e-9) if isinstance(old, float) else old)  # last digits of a machine
