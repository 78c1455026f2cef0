"""Friction of finger pads is highest between very dry and wet skin (Naylor 1955, Br J Dermatol 67:239-248; grip force
least at a middle moisture, Andre et al. 2010, doi 10.1152/jn.00901.2009): the chance that skin holds has that shape.
"""

import numpy as np
import pytest

from coaching.science.inputs import Floats
from coaching.science.nodes import NODES
from coaching.science.panel import Panel
from coaching.science.quantities import Parameters
from coaching.science.readiness import at_nodes, expected_chance
from coaching.science.versions import VERSIONS

DAMPNESS_PT = np.linspace(0, 10, 101)


def panel(known_var: float, noise_var: float) -> Panel:
    """Plenty of soft skin, dampness from end to end of the scale."""
    shape = (1, DAMPNESS_PT.size)
    plenty, soft, sure = np.full(shape, 9.0), np.full(shape, 2.0), np.full(shape, 0.01)
    return Panel(
        plenty, sure, sure, DAMPNESS_PT[None], np.full(shape, known_var), np.full(shape, noise_var), soft, sure,
        np.zeros((NODES.shift_u.size, 1)),
    )  # fmt: skip


def rises_then_falls(chance: Floats) -> bool:
    top = int(chance.argmax())
    inside = 0 < top < chance.size - 1
    return inside and bool(np.all(np.diff(chance[: top + 1]) > 0) and np.all(np.diff(chance[top:]) < 0))


@pytest.mark.parametrize(("known_var", "noise_var"), [(0.0, 0.0), (0.5, 0.5), (2.0, 1.0)])
@pytest.mark.parametrize("p", [version.parameters for version in VERSIONS.values()], ids=list(VERSIONS))
def test_chance_is_best_between_dry_and_damp(p: Parameters, known_var: float, noise_var: float) -> None:
    one = panel(known_var, noise_var)
    assert rises_then_falls(expected_chance(one, p)[0])
    assert rises_then_falls(at_nodes(one, None, p).mean(axis=0)[0])
    best = DAMPNESS_PT[expected_chance(one, p)[0].argmax()]
    assert p["too_dry_pt"] < best < p["too_damp_pt"]
