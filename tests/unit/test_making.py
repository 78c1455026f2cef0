"""How a number was made: every quantity once, its value the version's own, its source the register's."""

from coaching.science.making import NOT_KNOWABLE, made
from coaching.science.quantities import QUANTITIES
from coaching.science.versions import CURRENT, get

P = get(CURRENT).parameters


def test_every_quantity_of_a_version_is_told_with_its_source() -> None:
    told = {row.name: row for row in made(P, P)}
    assert set(told) == set(get(CURRENT).parameters.values)
    for name, row in told.items():
        assert (row.value, row.unit, row.source) == (
            get(CURRENT).parameters[name], QUANTITIES[name].unit, QUANTITIES[name].source,
        )  # fmt: skip
        assert not row.fitted and row.low <= row.value <= row.high


def test_what_a_squad_was_fitted_to_is_told_as_such() -> None:
    told = {row.name: row for row in made(P.changed(reserve_renewal_d=9.0), P)}
    assert told["reserve_renewal_d"].value == 9.0 and told["reserve_renewal_d"].fitted
    assert sum(row.fitted for row in told.values()) == 1


def test_what_cannot_be_known_stands_once() -> None:
    assert len(set(NOT_KNOWABLE)) == len(NOT_KNOWABLE)
