"""What lengthens times and widens their ranges, each quantity alone, against the trade's rows."""

import numpy as np
import pytest

from coaching.science.healing_times import CLASSES, stretches
from coaching.science.inputs import Episodes
from coaching.science.quantities import defaults
from tests.courses import damage, joined

P = defaults()
SPLITS = joined(damage("split", "pad"), damage("split", "crease"), damage("flapper", "pad"))
SHALLOW, DEEP = 0, 1
PACES = np.array([0.8, 1.25])


def times(some: Episodes = SPLITS, paces: np.ndarray = PACES, **changed: float) -> list[tuple[np.ndarray, np.ndarray]]:
    """Medians and log sds of the three stretches, (2, paces, E)."""
    return [(one.median_d, one.log_sd) for one in stretches(some, paces, P.changed(**changed))]


def test_pace_lengthens_all_three_alike_and_widens_none() -> None:
    for (median, log_sd), (even, even_sd) in zip(times(), times(paces=np.ones(1)), strict=True):
        np.testing.assert_allclose(median, even * PACES[None, :, None], rtol=1e-12)
        np.testing.assert_allclose(log_sd, np.broadcast_to(even_sd, log_sd.shape), rtol=1e-12)


@pytest.mark.parametrize(("depth", "name"), [(SHALLOW, "shallow"), (DEEP, "deep")])
def test_days_until_closed_have_a_factor_of_their_own_by_depth(depth: int, name: str) -> None:
    before, after = times(), times(**{f"healing_closes_factor_{name}": 1.6})
    expected = np.where(np.arange(2)[:, None, None] == depth, 1.6, 1.0)
    np.testing.assert_allclose(after[0][0], before[0][0] * expected, rtol=1e-12)
    for k in (1, 2):
        np.testing.assert_array_equal(after[k][0], before[k][0])


def test_a_squads_times_lengthen_by_class_and_all_alike() -> None:
    before = times()
    for name, scaled in (("time", np.full((2, 3), 1.4)), ("split_deep_crease", np.array([[1, 1, 1], [1, 1.4, 1]]))):
        factor = f"healing_{name}_factor" if name == "time" else f"healing_factor_{name}"
        for (median, _), (old, _) in zip(times(**{factor: 1.4}), before, strict=True):
            np.testing.assert_allclose(median, old * scaled[:, None], rtol=1e-12)
    assert "split_deep_crease" in CLASSES


def test_spreads_widen_together_and_those_of_deep_creases_once_more() -> None:
    before = times()
    for (_, log_sd), (_, old) in zip(times(healing_spread_factor=1.3), before, strict=True):
        np.testing.assert_allclose(log_sd, 1.3 * old, rtol=1e-12)
    deep_crease = np.array([[1.0, 1.0, 1.0], [1.0, 1.5, 1.0]])
    for (_, log_sd), (_, old) in zip(times(healing_spread_deep_crease_factor=1.5), before, strict=True):
        np.testing.assert_allclose(log_sd, old * deep_crease[:, None], rtol=1e-12)


def test_what_has_opened_again_closes_as_deep_damage_where_a_version_asks_its_past() -> None:
    again = joined(damage("split", "pad", reopened=1), damage("split", "crease", reopened=0))
    plain, asked = times(again), times(again, healing_own_history=1.0)
    assert np.array_equal(asked[0][0][:, :, 1], plain[0][0][:, :, 1])
    for part in (0, 1):
        np.testing.assert_array_equal(asked[0][part][SHALLOW, :, 0], plain[0][part][DEEP, :, 0])
    assert not np.array_equal(plain[0][0][SHALLOW, :, 0], plain[0][0][DEEP, :, 0])
    for k in (1, 2):
        np.testing.assert_array_equal(asked[k][0], plain[k][0])
