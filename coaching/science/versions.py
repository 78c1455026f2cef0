"""Registry of models: an old id stays runnable and unchanged."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from coaching.science.model import Model
from coaching.science.quantities import Parameters, defaults

CURRENT = "2026.2"


def wider_limits() -> Parameters:
    """Return the parameters under which limits differ more from athlete to athlete and from session to session.

    Parameters: none.
    Returns: Parameters.
    Raises: nothing.
    Assumes: ratings are bent by an offset and a gain of each athlete's own, so a limit on that scale scatters by about
        a point, and the dry end, which has no spread of its own, lies lower; a passing dampness lasts a little longer.
    Source: assumption: scored on simulated squads that share no code with the model;
        tests/reference/test_skill_on_truths.py.
    """
    changed = defaults().changed(
        session_reserve_sd_pt=1.2,
        session_dampness_sd_pt=1.2,
        too_dry_pt=0.5,
        dampness_memory_frac=0.7,
    )
    return changed.respread(enough_reserve_pt=1.0, too_damp_pt=1.0)


VERSIONS: Mapping[str, Model] = MappingProxyType(
    {"2026.1": Model("2026.1", defaults()), CURRENT: Model(CURRENT, wider_limits())}
)
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
