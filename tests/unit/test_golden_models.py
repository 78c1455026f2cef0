"""Every model version still says what it said when it came into use.

Tolerance 1e-9 (in points, shares or days): far above the last bits in which machines differ, far below anything shown.
"""

import json
from typing import Any

import numpy as np
import pytest

from coaching.science.versions import VERSIONS, get
from tests.golden_course import outputs
from tests.reference.golden_models import GOLDEN, path_of


def numbers(value: Any) -> Any:
    return np.array(value, dtype=np.float64)  # None becomes NaN


def compared(now: Any, then: Any, where: str) -> None:
    if isinstance(then, dict):
        assert set(now) >= set(then), where  # an output may gain a field, never lose one
        for name in then:
            compared(now[name], then[name], f"{where}.{name}")
        return
    assert numbers(now).shape == numbers(then).shape, where
    np.testing.assert_allclose(numbers(now), numbers(then), rtol=0, atol=1e-9, equal_nan=True, err_msg=where)


def test_every_version_has_its_golden_file_and_every_file_its_version() -> None:
    assert {path.stem.removeprefix("model-") for path in GOLDEN.glob("model-*.json")} == set(VERSIONS)


@pytest.mark.parametrize("version", sorted(VERSIONS))
def test_a_version_says_what_it_said(version: str) -> None:
    compared(outputs(get(version)), json.loads(path_of(version).read_text()), version)


def test_a_changed_number_is_noticed() -> None:
    model = get("2026.1")
    other = type(model)(model.version, model.parameters.changed(reserve_noise_pt=0.2500001))
    then = json.loads(path_of("2026.1").read_text())
    with pytest.raises(AssertionError):
        compared(outputs(other), then, "2026.1")
