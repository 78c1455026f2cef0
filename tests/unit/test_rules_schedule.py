"""The critical path pass refuses what is no network, and keeps slack whole."""

from __future__ import annotations

import pytest

from coaching.rules.schedule import Activity, latest_starts, windows
from tests.cast import day


def test_nothing_to_do_is_no_error() -> None:
    assert windows(()) == {}
    assert latest_starts(day("5-1"), ()) == {}


def test_a_later_finish_gives_everyone_the_same_extra_slack() -> None:
    chain = (Activity("first", 2), Activity("second", 3, ("first",)))
    assert {one.slack_d for one in windows(chain, 9).values()} == {4}
    assert {one.slack_d for one in windows(chain, 4).values()} == {-1}


def test_order_of_the_list_does_not_matter() -> None:
    chain = (Activity("second", 3, ("first",)), Activity("first", 2))
    assert windows(chain) == windows(tuple(reversed(chain)))


@pytest.mark.parametrize(
    ("network", "message"),
    [
        ((Activity("a", 1, ("b",)), Activity("b", 1, ("a",))), "circle"),
        ((Activity("a", 1, ("b",)),), "not known"),
        ((Activity("a", 1), Activity("a", 2)), "share a name"),
        ((Activity("a", -1),), "negative"),
    ],
)
def test_no_network_is_refused(network: tuple[Activity, ...], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        windows(network)
