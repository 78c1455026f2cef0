"""In which language a page is: the person's own, else the browser's; and nothing made for one is shown to another.

Headers: RFC 9110, 12.5.4 (Accept-Language), 12.5.5 (Vary), 8.5 (Content-Language). Weeks: ISO 8601 begins them on
Monday; Unicode CLDR has Saturday and Sunday for other regions.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
import time_machine
from babel import Locale
from django.test import Client
from django.utils import translation
from django.utils.html import strip_tags

from athletes.records import by_name
from athletes.records.errors import NotFound
from athletes.records.models import Account, Person
from athletes.records.viewer import Viewer
from coaching.pages import rows
from coaching.usecases import reading
from coaching.wording import dates, numbers
from tests import stored

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("_today")]
GERMAN, FRENCH = {"HTTP_ACCEPT_LANGUAGE": "de-AT,de;q=0.9,en;q=0.5"}, {"HTTP_ACCEPT_LANGUAGE": "fr"}
MORNING = "/morning"


@pytest.fixture
def _today() -> Any:
    with time_machine.travel(stored.NOW, tick=False):
        rows.forget_drawn()
        yield
    translation.deactivate()  # a request leaves its language to the thread, as Django's own middleware does
    rows.forget_drawn()


def coach(language: str = "", demo: bool = False) -> Client:
    """A head coach of a squad with one athlete who shares all, tight before an event."""
    squad = stored.squad()
    found = stored.athletes(["a1"], squad)
    stored.share(found)
    stored.conclude(found, stored.event())
    return signed_in(stored.login("head-coach", squad), language, demo)


def signed_in(account: Account, language: str = "", demo: bool = False) -> Client:
    Person.objects.filter(id=account.person_id).update(language=language)
    Account.objects.filter(id=account.id).update(demo=demo)
    client = Client(REMOTE_ADDR="127.0.0.1")
    client.force_login(account)
    return client


def test_a_stranger_reads_what_the_browser_asks_for_and_english_where_it_asks_for_none_of_ours() -> None:
    for asked, language in ((GERMAN, "de"), (FRENCH, "fr"), ({"HTTP_ACCEPT_LANGUAGE": "fi"}, "en"), ({}, "en")):
        answer = Client().get("/login", **asked)
        assert answer.headers["Content-Language"] == language
        assert "Accept-Language" in answer.headers["Vary"]
        assert f'<html lang="{language}" dir="ltr"' in answer.content.decode()


def test_a_person_reads_in_their_own_language_whatever_the_browser_asks_for() -> None:
    answer = coach("fr").get(MORNING, **GERMAN)
    assert (answer.status_code, answer.headers["Content-Language"]) == (200, "fr")
    assert "Liste du matin" in answer.content.decode()


def test_who_chose_none_reads_the_browsers_and_the_demo_reads_english() -> None:
    assert coach().get(MORNING, **GERMAN).headers["Content-Language"] == "de"
    Account.objects.update(demo=True)
    account = Account.objects.get()
    assert signed_in(account, "", demo=True).get(MORNING, **GERMAN).headers["Content-Language"] == "en"
    assert signed_in(account, "de", demo=True).get(MORNING).headers["Content-Language"] == "de"


def test_one_request_leaves_nothing_of_its_language_to_the_next() -> None:
    """The same thread serves both."""
    coach("fr").get(MORNING)
    assert Client().get("/login").headers["Content-Language"] == "en"


def test_programs_get_english_and_codes_whoever_they_act_for() -> None:
    client = coach("de")
    answer = client.get("/api/v1/athletes?limit=0", **GERMAN)
    assert answer.headers["Content-Language"] == "en"
    english = signed_in(Account.objects.get(), "en").get("/api/v1/athletes?limit=0")
    assert answer.content == english.content
    assert answer.status_code == 400, "an answer without a sentence in it proves nothing"


def words_of(answer: Any) -> str:
    return " ".join(strip_tags(answer.content.decode()).split())


def test_lines_drawn_for_one_language_are_not_shown_in_another() -> None:
    """The second reader asks for lines that the process holds already."""
    client = coach("en")
    english = words_of(client.get(MORNING))
    german = words_of(signed_in(Account.objects.get(), "de").get(MORNING))
    rows.forget_drawn()
    assert words_of(signed_in(Account.objects.get(), "de").get(MORNING)) == german
    assert english != german
    assert words_of(signed_in(Account.objects.get(), "en").get(MORNING)) == english


def test_without_the_language_in_their_key_they_would_be(monkeypatch: pytest.MonkeyPatch) -> None:
    """The test before this one turns red where the key loses the language: here it has lost it."""
    monkeypatch.setattr(rows, "get_language", lambda: "whichever")
    client = coach("en")
    client.get(MORNING)
    mixed = words_of(signed_in(Account.objects.get(), "de").get(MORNING))
    rows.forget_drawn()
    assert words_of(signed_in(Account.objects.get(), "de").get(MORNING)) != mixed


def test_language_and_first_weekday_are_chosen_on_the_account_page() -> None:
    client = coach()
    chosen = {"action": "reading", "language": "de", "first_weekday": "sunday"}
    assert client.post("/account", chosen).status_code == 302
    person = Person.objects.get()
    assert (person.language, person.first_weekday) == ("de", "sunday")
    page = client.get("/account").content.decode()
    assert '<option value="de" selected>Deutsch</option>' in page
    assert '<option value="sunday" selected>Sonntag</option>' in page
    assert client.post("/account", {**chosen, "language": "tlh"}).status_code == 404
    assert Person.objects.get().language == "de"


def test_nobody_chooses_for_nobody() -> None:
    with pytest.raises(NotFound):
        reading.choose(Viewer(None, None, stored.TODAY), "de", "")


@pytest.mark.parametrize(("chosen", "first"), [("", 0), ("monday", 0), ("saturday", 5), ("sunday", 6)])
def test_a_week_begins_on_the_chosen_day(chosen: str, first: int) -> None:
    viewer = Viewer(1, 1, stored.TODAY, first_weekday=chosen)
    assert reading.first_weekday(viewer) == first
    for day in (date(2027, 3, 8) + timedelta(days=n) for n in range(14)):
        begun = reading.week_of(day, first)
        assert (begun.weekday(), 0 <= (day - begun).days < 7) == (first, True)


def test_the_days_on_offer_are_those_that_regions_begin_their_weeks_on() -> None:
    regions = {Locale.parse(f"und_{code}").first_week_day for code in ("AT", "FR", "US", "AE", "EG", "JP", "GB")}
    assert regions == {reading.FIRST[code] for code in reading.FIRST_WEEKDAYS}


def test_the_season_begins_its_weeks_on_the_day_that_the_reader_chose() -> None:
    client = coach()
    begun = {}
    for chosen in ("monday", "sunday"):
        Person.objects.update(first_weekday=chosen)
        answer = client.get("/season")
        begun[chosen] = answer.context["page"].page.first
    assert [day.weekday() for day in begun.values()] == [0, 6]


def test_the_days_to_choose_begin_with_the_readers_first() -> None:
    client = coach("de")
    Person.objects.update(first_weekday="sunday")
    page = client.get("/sessions").content.decode()
    assert page.index('name="weekdays" value="6"') < page.index('name="weekdays" value="0"')


NAMES = ["Zoë", "Ägidius", "Adam", "Émile", "Eva", "Østen", "Oskar", "adam", "Łukasz", "Luzia", "Strauß", "Straub"]
IN_ORDER = ["Adam", "adam", "Ägidius", "Émile", "Eva", "Łukasz", "Luzia", "Oskar", "Østen", "Straub", "Strauß", "Zoë"]
"""DIN 5007-1: ä as a, ß as ss; Unicode Collation Algorithm, root table: Ł and Ø after their base letter alone."""


def test_names_are_in_the_order_of_a_dictionary() -> None:
    assert sorted(NAMES, key=by_name.key) == IN_ORDER
    assert by_name.key("A", "b") < by_name.key("A", "c"), "people of one name keep one order"


WRITTEN = [("de", "1,5", "Do 18"), ("fr", "1,5", "jeu 18"), ("en", "1.5", "Thu 18")]


@pytest.mark.parametrize(("language", "comma", "day"), WRITTEN)
def test_numbers_and_days_are_written_as_the_language_writes_them(language: str, comma: str, day: str) -> None:
    """CLDR: decimal comma in German and French; abbreviated weekdays."""
    with translation.override(language):
        assert numbers.load(1.5) == comma
        assert dates.weekday(date(2027, 3, 18), date(2027, 3, 11)) == day
