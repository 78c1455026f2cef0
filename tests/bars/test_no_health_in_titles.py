"""What stands around a page says nothing of how somebody is: its title, the names of files, the addresses it leads to.

Titles stay in the history of a browser and on a shared screen, addresses in logs on the way (OWASP ASVS 5.0, 14.2.1,
from memory). Two clubs that differ only in what is known of health have the same titles and names of files; and no
address, and no form that makes one, holds a code of a site, a kind, a stage, a sign, an agent or a level.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from typing import Any
from urllib.parse import unquote

import pytest
import time_machine
from django.db import transaction
from django.test import Client
from pypdf import PdfReader

from athletes.records import choices
from athletes.records.models import CheckIn, Damage, Look, Sighting
from coaching.pages import made_page
from coaching.wording import levels
from tests import shown_cast, stored
from tests.bars import world as worlds
from tests.bars.test_matrix import ROUTES, filled

pytestmark = pytest.mark.django_db
PAGES = [route for route in ROUTES if not route.startswith("api/")]
TITLE = re.compile(r"<title>(.*?)</title>", re.S)
WORDS = re.compile(r"[^/?&=;#]+")
CODES = {
    *choices.SITES, *choices.DAMAGE_KINDS, *choices.STAGES, *choices.RED_FLAGS, *choices.MARKS, *choices.WORRIES,
    *(form for forms in choices.FORMS.values() for form in forms), *levels.LEVELS,
} - {part for route in ROUTES for part in route.split("/")}  # fmt: skip
"""What a form or a row says of health by a code of its own, where that is not the name of a page, as "not-known" is."""

OF_NOBODY = ("?level=",)
"""The morning list cut to a level: whoever reads the address learns that somebody asked, and of nobody how they are."""


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


class Around(HTMLParser):
    """Addresses of a page, and what its forms would put into one."""

    def __init__(self) -> None:
        super().__init__()
        self.found: set[str] = set()
        self._asks = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        self.found |= {told[name] for name in ("href", "action", "src", "formaction", "data-next") if name in told}
        if tag == "form":
            self._asks = told.get("method", "get").lower() == "get"
        if self._asks and tag in ("input", "option", "button"):
            self.found.add("?=" + told.get("value", ""))

    def handle_endtag(self, tag: str) -> None:
        self._asks = self._asks and tag != "form"


def telling(text: str) -> list[str]:
    """Addresses of a page that hold a code of health."""
    around = Around()
    around.feed(text)
    ours = (one for one in around.found if not one.startswith(("/static/", "data:", *OF_NOBODY)))
    return sorted(one for one in ours if CODES & set(WORDS.findall(unquote(one.replace("+", " ")))))


def clients(club: worlds.Club) -> dict[str, Client]:
    found = {}
    for role in ("athlete", "guardian", "head-coach", "medical", "assistant", "manager"):
        own = role in ("athlete", "guardian")
        found[role] = Client(raise_request_exception=False)
        found[role].force_login(stored.login(role, None if own else club.squad, [club.athlete] if own else ()))
    return found


def titles_of(answer: Any) -> tuple[str, ...]:
    """The title of a page or a file, and the name under which a browser would keep it."""
    named = answer.headers.get("Content-Disposition", "")
    if answer.headers.get("Content-Type") == "application/pdf":
        return named, str(PdfReader(io.BytesIO(answer.content)).metadata.title)
    return named, *TITLE.findall(answer.content.decode("utf-8", "replace"))[:1]  # drawings within have titles too


def titles(club: worlds.Club) -> dict[tuple[str, str], tuple[str, ...]]:
    """By role and address."""
    return {
        (role, route): titles_of(client.get(filled(route, club.ids)))
        for role, client in clients(club).items()
        for route in PAGES
    }


def worse() -> Any:
    """The same athlete in another state: another level, chance, stop and damage."""
    one = shown_cast.athlete()
    entry = replace(one.entries[0], level="on-course", p=0.93, low=0.9, high=0.97, reasons=(), episode_parts={})
    return replace(one, medical="stop", entries=(entry,), steps=(), limits=(), refused=())


def in_another_state(monkeypatch: pytest.MonkeyPatch) -> worlds.Club:
    changed = worse()
    monkeypatch.setattr(shown_cast, "athlete", lambda: changed)
    found = worlds.club("h")
    CheckIn.objects.update(reserve=1, dampness=9, red_flags=["swelling"], note="another")
    Damage.objects.update(site="L-ring-tip", kind="flapper", cause="another")
    Look.objects.update(stage="closing")
    Sighting.objects.update(marks=[["R-thumb-tip", "glassy"]])
    return found


def both(monkeypatch: pytest.MonkeyPatch) -> tuple[dict[Any, Any], dict[Any, Any]]:
    with transaction.atomic():
        first = titles(worlds.club("h"))
        transaction.set_rollback(True)
    return first, titles(in_another_state(monkeypatch))


def test_titles_and_names_of_files_are_the_same_however_somebody_is(monkeypatch: pytest.MonkeyPatch) -> None:
    first, second = both(monkeypatch)
    assert {key: (told, second[key]) for key, told in first.items() if told != second[key]} == {}
    shown = {told[-1] for told in first.values()}
    print(f"{len(first)} answers, {len(shown)} titles")
    assert len(shown) > 30


def test_planted_a_title_that_says_the_chance_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.bars.test_no_health_in_titles.PAGES", ["athletes/<str:code>/made"])
    monkeypatch.setattr("tests.bars.test_no_health_in_titles.TITLE", re.compile(r"<h1>(.*?)</h1>", re.S))
    first, second = both(monkeypatch)  # the headline of the page does say it
    assert made_page.MadePage.headline and first != second


def test_no_address_and_no_form_that_makes_one_holds_a_code_of_health() -> None:
    club = worlds.club("h")
    found, seen = {}, 0
    for role, client in clients(club).items():
        for route in PAGES:
            answer = client.get(filled(route, club.ids))
            if answer.headers.get("Content-Type", "").startswith("text/html"):
                seen += answer.status_code == 200
                if wrong := telling(answer.content.decode()):
                    found[role, route] = wrong
    assert found == {} and seen > 100


def test_planted_addresses_that_tell_are_found() -> None:
    assert telling('<a href="/athletes/a1?site=R-web">x</a>') == ["/athletes/a1?site=R-web"]
    assert telling('<a href="/athletes/a1/aluminium%20salt">x</a>') and telling('<a href="/x/aluminium+salt">x</a>')
    asks = '<form><select name="kind"><option value="split">x</option></select></form>'
    assert telling(asks) == ["?=split"] and telling(asks.replace("<form>", '<form method="post">')) == []
    assert telling('<a href="/me/damage/d-0123?for=a1">x</a>') == []
