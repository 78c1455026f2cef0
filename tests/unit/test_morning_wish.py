"""What the address of the morning list asks for: order, level, event, only what has changed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

import pytest
import time_machine
from django.http import QueryDict
from django.test import Client

from coaching.pages.morning_wish import Choices, Wish
from tests import stored


@dataclass(frozen=True)
class Line:
    name: str
    level: str | None
    events: tuple[str, ...] = ()
    first_day: date = date.max
    changed: bool = False


ANA = Line("Zoe", "act", ("cup",), date(2027, 3, 20))
BEA = Line("Émile", "tight", ("trip", "cup"), date(2027, 3, 18), changed=True)
CID = Line("Fay", None)
ALL = [ANA, BEA, CID]


def read(text: str) -> Wish:
    return Wish.read(QueryDict(text))


@pytest.mark.parametrize(
    ("asked", "found"),
    [("", ALL), ("sort=event", [BEA, ANA, CID]), ("sort=name", [BEA, CID, ANA]), ("level=act", [ANA]),
     ("event=cup", [ANA, BEA]), ("event=cup&sort=event", [BEA, ANA]), ("changed=1", [BEA]), ("changed=1&level=act", []),
     ("sort=rank&level=best", ALL), ("event=nobody-has-it", [])],
)  # fmt: skip
def test_lines_are_sorted_and_picked_as_the_address_asks(asked: str, found: list[Line]) -> None:
    assert read(asked).of(ALL) == found


@pytest.mark.parametrize(
    "asked", ["", "sort=name", "level=act&event=cup", "sort=event&level=tight&event=a%26b&changed=1"]
)
def test_an_address_reads_back_as_what_it_was_made_from(asked: str) -> None:
    wish = read(asked)
    assert read(wish.address().lstrip("?")) == wish


def test_each_choice_keeps_the_others_and_is_taken_back_by_a_second_press() -> None:
    choices = Choices(read("sort=name&event=cup"), (("cup", "The Cup"), ("trip", "The Trip")))
    picks = {words: (where, chosen) for where, words, chosen in choices.picks}
    assert picks["The Cup"] == ("?sort=name", True)
    assert picks["The Trip"] == ("?sort=name&event=trip", False)
    assert picks["everybody"] == ("?sort=name", False)
    assert picks["changed since yesterday"][0] == "?sort=name&event=cup&changed=1"
    assert choices.said == "by name, The Cup"


@pytest.fixture
def coach(db: None) -> Iterator[Client]:
    with time_machine.travel(stored.NOW, tick=False):
        squad, client = stored.squad(), Client()
        people = stored.athletes(["a1", "a2"], squad)
        stored.share(people, ("level", "checkins", "damage"))
        stored.conclude(people[:1], stored.event())
        client.force_login(stored.login("head-coach", squad))
        yield client


def test_the_page_lists_whom_the_address_asks_for_and_says_where_nobody_is(coach: Client) -> None:
    def seen(query: str) -> tuple[bool, bool]:
        html = coach.get(f"/morning{query}").content.decode()
        return 'id="row-a1"' in html, 'id="row-a2"' in html

    assert seen("") == (True, True) and seen("?event=lindmark-cup") == (True, False)
    levels = [code for code in ("out-of-reach", "act", "tight", "not-known", "on-course") if seen(f"?level={code}")[0]]
    assert len(levels) == 1 and seen(f"?level={levels[0]}") == (True, False) and levels[0] != "out-of-reach"
    nobody = coach.get("/morning?event=lindmark-cup&level=out-of-reach").content.decode()
    assert "Nobody in the list is as you picked." in nobody and 'href="/morning"' in nobody


def test_decisions_about_one_athlete_have_an_address_of_their_own(coach: Client) -> None:
    assert coach.get("/decisions?about=a2").content.decode().count('class="decision"') == 0
    one = coach.get("/decisions?about=a1").content.decode().count('class="decision"')
    assert one == coach.get("/decisions").content.decode().count('class="decision"')
