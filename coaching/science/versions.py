"""Registry of models: an old id stays runnable and unchanged."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from coaching.science.model import Model
from coaching.science.quantities import defaults

CURRENT = "2026.1"

VERSIONS: Mapping[str, Model] = MappingProxyType({CURRENT: Model(CURRENT, defaults())})
"""Version id -> complete model."""


def get(version_id: str) -> Model:
    """Return the model of a version.

    Parameters: version_id.
    Returns: Model.
    Raises: KeyError that names the known ids.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_versions.py.
    """
    if version_id not in VERSIONS:
        raise KeyError(f"unknown model {version_id!r}; known: {', '.join(sorted(VERSIONS))}")
    return VERSIONS[version_id]
