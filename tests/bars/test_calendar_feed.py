"""A calendar's address: what it tells, to whom, for how long, and that it opens nothing else.

RFC 5545 and 7986 for the file; a long-lived secret in an address leaks through logs, caches and toolbars (OWASP ASVS
5.0, 14.2.1, from memory), so it opens little, ends by itself and is told apart from nothing once it has ended.
"""

from __future__ import annotations

import json
import logging
import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
import time_machine
from django.conf import settings
from django.core import signing
from django.db import connection
from django.test import Client

from athletes.records.models import (
    AccessLog,
    Account,
    CalendarFeed,
    CalendarItem,
    Entry,
    Event,
    Session,
)
from coaching.config import scrubbing
from coaching.usecases import limits, retention
from tests import ics, stored
from tests.bars import world as worlds
from tests.bars.test_matrix import GOLDEN, HOLE, ROUTES, TOKEN, Walk, elsewhere, in_path, own
from tests.bars.world import Caller, World

pytestmark = pytest.mark.django_db
SECRET = re.compile(r"/calendar/([A-Za-z0-9_-]{43})<")


@pytest.fixture(autouse=True)
def clock() -> Iterator[Any]:
    with time_machine.travel(stored.NOW, tick=False) as travelling:
        yield travelling


class Cast:
    """An athlete under 18 with an event, a session and a day off, and a coach of theirs."""

    def __init__(self) -> None:
        self.squad = stored.squad()
        (self.row,) = stored.athletes(["a1"], self.squad, stored.MINOR)
        stored.share([self.row])
        self.event = stored.event()
        closes = datetime(2027, 3, 14, 22, 59, tzinfo=UTC)
        name = "Comeback of Athlete a1 after the split"
        Event.objects.filter(pk=self.event.pk).update(name=name, entry_deadline=closes)
        Entry.objects.create(event=self.event, athlete=self.row, status="entered")
        day = {"athlete": self.row, "planned": True}
        Session.objects.create(**day, local_date=date(2027, 3, 12), minutes=60)
        Session.objects.create(**day, local_date=date(2027, 3, 13), minutes=0)
        self.athlete, self.coach = Client(), Client()
        self.account = stored.login("athlete", self.squad, [self.row])
        self.athlete.force_login(self.account)
        self.coach.force_login(stored.login("head-coach", self.squad))

    def make(self, who: Client, kind: str) -> str:
        answer = who.post("/account/calendar", {"act": f"make {kind}"})
        assert answer.status_code == 200 and answer["Referrer-Policy"] == "no-referrer"
        return SECRET.search(answer.content.decode())[1]  # type: ignore[index]


def ask(secret: str, **headers: str) -> Any:
    return Client().get(f"/calendar/{secret}", headers=headers)


def told(secret: str) -> list[tuple[str, str, str, str]]:
    """(summary, begin, status, sequence) of each entry."""
    names = ("SUMMARY", "DTSTART", "STATUS", "SEQUENCE")
    return [tuple(e.value(n) for n in names) for e in ics.read(ask(secret).content).all("VEVENT")]  # type: ignore[misc]


def test_the_athlete_reads_days_and_the_coach_the_season_and_neither_a_name_or_a_word_of_skin() -> None:
    cast = Cast()
    own_secret, season = cast.make(cast.athlete, "own"), cast.make(cast.coach, "season")
    first = cast.event.first_day.strftime("%Y%m%d")
    assert told(own_secret) == [("Event", first, "CONFIRMED", "0"), ("Session", "20270312", "CONFIRMED", "0")]
    # 22:59 in UTC on the 14th is 23:59 in Stockholm
    assert told(season) == [("Event", first, "CONFIRMED", "0"), ("Entries close", "20270314T235900", "CONFIRMED", "0")]
    for secret in (own_secret, season):
        answer = ask(secret)
        assert answer["Content-Type"] == "text/calendar; charset=utf-8"
        assert "no-store" in answer["Cache-Control"] and answer["Referrer-Policy"] == "no-referrer"
        text = answer.content.decode().lower()
        assert not [word for word in ("comeback", "split", "athlete", "hall", "cup", "skin", "hand") if word in text]


def test_who_asks_makes_no_difference_and_the_log_names_in_whose_name_it_was_read() -> None:
    cast = Cast()
    season = cast.make(cast.coach, "season")
    assert not AccessLog.objects.exists()
    assert ask(season).content == cast.athlete.get(f"/calendar/{season}").content
    rows = AccessLog.objects.all()
    assert [row.what for row in rows] == ["calendar-link"] * 2 and {row.roles for row in rows} == {"head-coach"}


def test_uids_stay_and_changes_count_up_and_what_went_is_told_as_cancelled() -> None:
    cast = Cast()
    secret = cast.make(cast.athlete, "own")
    uids = [e.value("UID") for e in ics.read(ask(secret).content).all("VEVENT")]
    assert told(secret) == told(secret), "nothing changed, and something counted up"
    Event.objects.update(first_day=date(2027, 4, 3), last_day=date(2027, 4, 4))
    Session.objects.filter(local_date=date(2027, 3, 12)).delete()
    assert told(secret) == [("Event", "20270403", "CONFIRMED", "1"), ("Session", "20270312", "CANCELLED", "1")]
    assert [e.value("UID") for e in ics.read(ask(secret).content).all("VEVENT")] == uids
    Session.objects.create(athlete=cast.row, planned=True, local_date=date(2027, 3, 12), minutes=30)
    assert told(secret)[1] == ("Session", "20270312", "CONFIRMED", "2")
    Entry.objects.update(status="withdrawn")
    assert told(secret)[1][:3] == ("Event", "20270403", "CANCELLED")


def test_cancelled_days_are_forgotten_once_they_are_past(clock: Any) -> None:
    cast = Cast()
    secret = cast.make(cast.athlete, "own")
    told(secret)
    Session.objects.all().delete()
    assert len(told(secret)) == 2
    clock.shift(timedelta(days=32))
    assert [one[0] for one in told(secret)] == ["Event"] and CalendarItem.objects.count() == 1


def test_a_word_taken_back_is_known_to_the_next_request() -> None:
    cast = Cast()
    season = cast.make(cast.coach, "season")
    assert len(told(season)) == 2
    stored.withdraw(athlete=cast.row)
    assert {one[2] for one in told(season)} == {"CANCELLED"}


def test_the_mark_of_an_answer_is_its_content() -> None:
    cast = Cast()
    secret = cast.make(cast.athlete, "own")
    mark = ask(secret)["ETag"]
    again = ask(secret, **{"if-none-match": mark})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", mark)
    Session.objects.create(athlete=cast.row, planned=True, local_date=date(2027, 3, 20), minutes=30)
    assert ask(secret, **{"if-none-match": mark}).status_code == 200


def seen(answer: Any) -> tuple[int, bytes, dict[str, str]]:
    kept = {name: value for name, value in answer.headers.items() if name not in ("Date", "Set-Cookie")}
    return answer.status_code, TOKEN.sub(b"", answer.content), kept


@pytest.mark.parametrize("how", ["ended", "renewed", "too old", "unused", "login closed", "role gone", "held", "demo"])
def test_what_stands_no_more_answers_byte_for_byte_as_what_never_was(how: str, clock: Any) -> None:
    cast = Cast()
    secret = cast.make(cast.athlete, "own")
    assert ask(secret).status_code == 200
    feed = CalendarFeed.objects.get()
    asking = Client(REMOTE_ADDR="203.0.113.9") if how == "demo" else Client()
    if how in ("ended", "renewed"):
        verb = {"ended": "end", "renewed": "renew"}[how]
        assert cast.athlete.post("/account/calendar", {"act": f"{verb} {feed.pk}"}).status_code in (200, 302)
    elif how in ("too old", "unused"):
        clock.shift(timedelta(days=61 if how == "unused" else 401))
        CalendarFeed.objects.filter(pk=feed.pk).update(
            used_on=date(2028, 4, 1) if how == "too old" else stored.TODAY
        )
    elif how == "role gone":
        cast.account.person.roles.all().delete()
    else:
        column = {"login closed": {"is_active": False}, "held": {"vouch_needed_since": stored.NOW},
                  "demo": {"demo": True}}[how]  # fmt: skip
        Account.objects.filter(pk=cast.account.pk).update(**column)
    never = seen(asking.get("/calendar/" + "A" * 43))
    assert never[0] == 404 and seen(asking.get(f"/calendar/{secret}")) == never
    assert seen(asking.get("/calendar/no-such-secret")) == never


def test_a_use_keeps_it_and_nothing_keeps_it_for_longer_than_400_days(clock: Any) -> None:
    cast = Cast()
    secret = cast.make(cast.athlete, "own")
    for _ in range(7):
        clock.shift(timedelta(days=57))
        assert ask(secret).status_code == 200
    clock.shift(timedelta(days=2))
    assert ask(secret).status_code == 404 and CalendarFeed.objects.exists()
    retention.keep_terms(dry=False)
    assert not CalendarFeed.objects.exists() and not CalendarItem.objects.exists()


def test_a_new_address_for_an_old_one_keeps_the_names_of_the_entries() -> None:
    cast = Cast()
    secret = cast.make(cast.athlete, "own")
    before = [e.value("UID") for e in ics.read(ask(secret).content).all("VEVENT")]
    answer = cast.athlete.post("/account/calendar", {"act": f"renew {CalendarFeed.objects.get().pk}"})
    new = SECRET.search(answer.content.decode())[1]  # type: ignore[index]
    assert new != secret and ask(secret).status_code == 404
    assert [e.value("UID") for e in ics.read(ask(new).content).all("VEVENT")] == before


def test_sixty_an_hour_and_no_more_whether_it_stands_or_not(clock: Any) -> None:
    cast = Cast()
    secret = cast.make(cast.athlete, "own")
    for text, status in ((secret, 200), ("B" * 43, 404)):
        assert [ask(text).status_code for _ in range(limits.FEED.most)] == [status] * 60
        answer = ask(text)
        assert answer.status_code == 429 and int(answer["Retry-After"]) <= 3600
    clock.shift(timedelta(hours=1, seconds=1))
    assert ask(secret).status_code == 200


def test_the_secret_is_stored_nowhere_and_written_into_no_log(caplog: pytest.LogCaptureFixture) -> None:
    """As the handler of the settings writes it: what is refused is logged with its address."""
    cast = Cast()
    secret = cast.make(cast.athlete, "own")
    caplog.set_level(logging.INFO)
    for _ in range(limits.FEED.most + 1):
        ask(secret)
    other = cast.make(cast.coach, "season")
    CalendarFeed.objects.filter(kind="season").delete()
    ask(other)
    written = "\n".join(record.getMessage() for record in caplog.records)
    assert secret not in written and other not in written
    assert "Too Many Requests: /calendar/..." in written and "Not Found: /calendar/..." in written
    logging.getLogger("django.request").warning("planted: %s", secret)
    assert secret in caplog.records[-1].getMessage(), "all of it is taken for a secret, or nothing is written"
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')  # noqa: S608 - a name from the schema
            assert secret not in repr(cursor.fetchall()), table


@pytest.mark.parametrize(
    ("line", "written"),
    [
        ("Not Found: /join/0123456789ab-" + "x" * 43, "Not Found: /join/..."),
        ("Not Found: /reminders/stop/" + signing.dumps([7, "0" * 24]), "Not Found: /reminders/stop/..."),
        ("Not Found: /calendar/" + "A" * 43 + "?x=1 twice", "Not Found: /calendar/...?x=1 twice"),
        ("Not Found: /athletes/a01/hand-over.pdf", "Not Found: /athletes/a01/hand-over.pdf"),
    ],
    # A signed word holds the second it was made in, and two workers must name their tests alike.
    ids=["a way in", "a way out of reminders", "a calendar", "no secret"],
)
def test_of_an_address_all_but_its_secret_is_written(line: str, written: str) -> None:
    assert scrubbing.scrubbed(line) == written


def test_another_accounts_feed_is_not_there_to_be_ended_or_renewed() -> None:
    cast = Cast()
    cast.make(cast.athlete, "own")
    feed = CalendarFeed.objects.get()
    for act in (f"end {feed.pk}", f"renew {feed.pk}", "end 999999", "make own", "make nothing", "nothing"):
        assert cast.coach.post("/account/calendar", {"act": act}).status_code == 404, act
    assert CalendarFeed.objects.get().digest == feed.digest
    page = cast.coach.get("/account/calendar").content.decode()
    assert "My days" not in page and "The season" in page


def test_ten_addresses_of_an_account_are_enough() -> None:
    cast = Cast()
    for _ in range(10):
        cast.make(cast.athlete, "own")
    assert cast.athlete.post("/account/calendar", {"act": "make own"}).status_code == 302
    assert CalendarFeed.objects.count() == 10


def calendar_of(world: World, how: str) -> Caller:
    """Somebody who has nothing but an athlete's calendar address, and tries its secret as what else it could be."""
    account = stored.login("athlete", world.home.squad, [world.home.athlete])
    client = Client()
    client.force_login(account)
    page = client.post("/account/calendar", {"act": "make own"}).content.decode()
    secret = SECRET.search(page)[1]  # type: ignore[index]
    headers = {"authorization": f"Bearer {secret}"} if how == "token" else {}
    asking = Client(raise_request_exception=False)
    if how == "session":
        asking.cookies[settings.SESSION_COOKIE_NAME] = secret
    return Caller(f"calendar's address as {how}", asking, False, headers)


@pytest.mark.parametrize("how", ["nothing", "token", "session"])
def test_a_calendars_address_opens_no_other_and_finds_of_others_what_a_stranger_finds(how: str) -> None:
    """The matrix of thirteen callers, with this one as one more; `-s` prints the counts."""
    world = worlds.build()
    walk = Walk(world, calendar_of(world, how))
    before = worlds.digest()
    for route in ROUTES:
        if HOLE.search(route):
            in_path(walk, route)
        elsewhere(walk, route)
    print(f"{walk.caller.name}: {len(ROUTES)} addresses, {sum(walk.asked.values())} pairs")
    assert walk.wrong == [] and worlds.digest() == before
    stranger = {route: row["stranger"] for route, row in json.loads(GOLDEN.read_text()).items()}
    assert own(walk) == stranger
