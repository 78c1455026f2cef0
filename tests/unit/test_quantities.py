"""The register of quantities: each has a unit, a range that holds its default, a status and a source."""

import pytest

from coaching.science.quantities import QUANTITIES, defaults
from coaching.science.quantity_rows import ROWS


def test_every_name_stands_once() -> None:
    assert len({row[0] for row in ROWS}) == len(ROWS)


@pytest.mark.parametrize("name", sorted(QUANTITIES))
def test_every_quantity_is_whole(name: str) -> None:
    q = QUANTITIES[name]
    assert q.low <= q.default <= q.high and q.unit and len(q.source) > 10
    assert q.status in ("published", "common practice", "judgement", "assumption")
    assert q.spread is None or q.spread >= 0  # nil: it differs between athletes in some versions only


@pytest.mark.parametrize("name", [n for n, q in QUANTITIES.items() if q.status == "published"])
def test_a_published_quantity_names_a_year(name: str) -> None:
    assert any(str(year) in QUANTITIES[name].source for year in range(1950, 2027))


def test_a_change_of_an_unknown_quantity_is_refused() -> None:
    with pytest.raises(KeyError):
        defaults().changed(reserve_renewal_days=3.0)
