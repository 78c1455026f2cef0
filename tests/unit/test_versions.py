"""The registry of models, and arithmetic that an old id must keep."""

import numpy as np
import pytest

from coaching.science.quantities import defaults
from coaching.science.versions import CURRENT, VERSIONS, get


def test_an_unknown_version_names_the_known_ones() -> None:
    with pytest.raises(KeyError, match=CURRENT):
        get("1999.9")


def test_every_id_is_that_of_its_model() -> None:
    assert all(model.version == key for key, model in VERSIONS.items()) and CURRENT in VERSIONS


def test_a_model_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        get(CURRENT).version = "other"  # type: ignore[misc]
    with pytest.raises(TypeError):
        defaults().values["taped_share"] = 1.0  # type: ignore[index]
    assert np.isfinite(get(CURRENT).parameters["taped_share"])
