"""The log of reads: written in the request, one insert, read by the athlete; and support behind broken glass."""

from __future__ import annotations

import time
from datetime import timedelta
from io import StringIO

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import URLPattern, get_resolver

from athletes.records import reads
from athletes.records.models import AccessLog, AccessScope, BrokenGlass, Consent
from coaching.wording import sharing
from tests import stored

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)
OF_NO_ATHLETE = {
    "front", "login", "healthz", "readyz", "account", "account-password", "held", "tokens", "join", "join-link",
    "reset", "reset-link", "account_login", "account_reauthenticate", "api-schema", "api-docs", "login-code",
    "sign-in-code", "calendar", "reminders", "mail-link", "stop-link", "worker", "manifest", "offline",
}  # fmt: skip
"""Addresses on which nobody's record can be read."""


@pytest.fixture(autouse=True)
def clock():
    reads._known.clear()
    with time_machine.travel(stored.NOW, tick=False) as found:
        yield found


def client(account) -> Client:
    found = Client()
    found.force_login(account)
    return found


@pytest.fixture
def club():
    squad = stored.squad()
    rows = stored.athletes(["a1", "a2"], squad)
    stored.conclude(rows, stored.event())
    stored.share(rows[:1], ["level", "damage"])
    return squad, rows


def test_a_list_writes_one_row_and_its_scope_once(club, django_capture_on_commit_callbacks) -> None:
    squad, rows = club
    coach = client(stored.login("head-coach", squad))
    with django_capture_on_commit_callbacks(execute=True):
        coach.get("/morning")
    with CaptureQueriesContext(connection) as asked:
        coach.get("/morning")
    assert sum("records_access" in query["sql"] for query in asked) == 1
    first, second = AccessLog.objects.order_by("id")
    assert first.scope == second.scope
    assert (first.what, first.roles, first.purpose) == ("morning", "head-coach", "coaching")
    assert list(AccessScope.objects.values_list("athlete__code", "classes")) == [("a1", "damage level")]


def test_the_athlete_reads_it_in_plain_words_and_nobody_elses(club) -> None:
    squad, rows = club
    coach = client(stored.login("head-coach", squad))
    coach.get("/morning"), coach.get("/athletes/a1"), coach.get("/athletes/a2")
    mine = client(stored.login("athlete", None, rows[:1])).get("/me/who-looked").content.decode()
    assert "Person 0, head coach" in mine and "the morning list" in mine and "your page" in mine
    assert "could read: level and damage" in mine
    other = client(stored.login("athlete", None, rows[1:])).get("/me/who-looked").content.decode()
    assert "Nobody yet." in other and "Person 0" not in other


def test_ones_own_look_is_not_written_and_a_guardians_is(club) -> None:
    squad, rows = club
    client(stored.login("athlete", None, rows[:1])).get("/me/today")
    assert not AccessLog.objects.exists()
    (minor,) = stored.athletes(["m1"], squad, stored.MINOR)
    client(stored.login("guardian", None, [minor])).get("/me/today")
    assert AccessLog.objects.get().roles == "guardian"


def test_what_was_not_found_is_not_written_as_read(club) -> None:
    squad, _ = club
    client(stored.login("head-coach", squad)).get("/api/v1/athletes/a1/check-ins")
    assert not AccessLog.objects.exists()


def test_without_the_row_there_is_no_answer(club, monkeypatch) -> None:
    squad, _ = club
    coach = client(stored.login("head-coach", squad))
    coach.raise_request_exception = False

    def broken(*args: object) -> None:
        raise DatabaseError("no room")

    monkeypatch.setattr(reads, "write", broken)
    answer = coach.get("/morning")
    assert answer.status_code in (500, 503) and b"Athlete a1" not in answer.content


def test_the_log_is_never_changed(club) -> None:
    squad, _ = club
    client(stored.login("head-coach", squad)).get("/morning")
    with pytest.raises(DatabaseError, match="added only"), transaction.atomic():
        AccessLog.objects.update(at=stored.NOW)


def test_every_page_and_door_has_words() -> None:
    def names(resolver, prefix=""):
        for one in resolver.url_patterns:
            route = prefix + str(one.pattern)
            yield from [one.name or route] if isinstance(one, URLPattern) else names(one, route)

    shown = [name for name in names(get_resolver()) if name not in OF_NO_ATHLETE and not name.startswith("mfa_")]
    doors = [name for name in shown if name.startswith("api/")]
    assert set(shown) - set(doors) - set(sharing.PAGES) == set() and len(shown) > 40
    assert all(sharing.page(name).startswith("another program: ") for name in doors)


def test_who_could_read_is_answered_within_a_minute(club) -> None:
    squad, rows = club
    coach = stored.login("head-coach", squad)
    client(coach).get("/morning")
    one = AccessLog.objects.values().get()
    told = {name: value for name, value in one.items() if name not in ("id", "at")}
    minutes = (stored.NOW - n * timedelta(minutes=1) for n in range(1, 20_000))
    AccessLog.objects.bulk_create(AccessLog(at=at, **told) for at in minutes)
    out, began = StringIO(), time.monotonic()
    first, last = ((stored.NOW + by).isoformat() for by in (-2 * HOUR, HOUR))
    call_command("who_could_read", "--from", first, "--to", last, "--athlete", "a1", stdout=out)
    took_s = time.monotonic() - began
    said = out.getvalue()
    assert "Read, 121 times an athlete:" in said and took_s < 60
    assert "a1; Person 0; head coach; level; both" in said and "a2" not in said
    out = StringIO()
    call_command("who_could_read", "--from", first, "--to", last, "--login", coach.username, stdout=out)
    asked = reads.between(stored.NOW - 2 * HOUR, stored.NOW + HOUR, "a1", coach.username).read
    assert {(athlete, one.who, one.classes) for athlete, one in asked} == {("a1", "Person 0", ("damage", "level"))}
    assert "Read, 121" in out.getvalue() and "a1; Person 0; head coach; level; both" in out.getvalue()
    for wrong in (["--athlete", "no"], ["--login", "no"]):
        with pytest.raises(CommandError):
            call_command("who_could_read", "--from", first, "--to", last, *wrong)
    with pytest.raises(CommandError):
        call_command("who_could_read", "--from", "x", "--to", last)


def test_a_word_taken_back_before_did_not_stand_open(club) -> None:
    squad, rows = club
    stored.login("head-coach", squad)
    stored.withdraw(stored.TODAY - timedelta(days=0), data_class="level")
    later = reads.between(stored.NOW + 24 * HOUR, stored.NOW + 48 * HOUR, "a1", None)
    assert {one.data_class for one in later.could} == {"damage"}
    assert Consent.objects.filter(ends__isnull=False).count() == 1


def test_support_sees_nobody_until_the_glass_is_broken_and_an_hour_later_nobody_again(club, clock) -> None:
    squad, rows = club
    account = stored.login("support")
    support = client(account)
    assert support.get("/api/v1/athletes/a1").status_code == 404
    for reason in ("", "short"):
        assert support.post("/support", {"athlete": "a1", "reason": reason}).status_code == 422
    nobody = support.post("/support", {"athlete": "zz", "reason": "asked for help by phone"})
    assert nobody.status_code == 422 and not BrokenGlass.objects.exists()
    assert support.post("/support", {"athlete": "a1", "reason": "asked for help by phone"}).status_code == 302
    assert [support.get(f"/api/v1/athletes/{code}").status_code for code in ("a1", "a2")] == [200, 404]
    mine = client(stored.login("athlete", None, rows[:1]))
    for page in ("/me/today", "/me/who-sees", "/me/who-looked"):
        told = mine.get(page).content.decode()
        assert "asked for help by phone" in told and account.person.name in told
    assert AccessLog.objects.filter(roles="support").count() == 1
    clock.move_to(stored.NOW + HOUR)
    support = client(account)
    assert support.get("/api/v1/athletes/a1").status_code == 404


def test_support_may_end_it_sooner_and_nobody_else_finds_the_page(club) -> None:
    squad, rows = club
    support = client(stored.login("support"))
    support.post("/support", {"athlete": "a1", "reason": "asked for help by phone"})
    assert "Athlete a1" in support.get("/support").content.decode()
    support.post("/support", {"do": "close"})
    assert support.get("/api/v1/athletes/a1").status_code == 404
    for role in ("head-coach", "medical"):
        other = client(stored.login(role, squad))
        assert other.get("/support").status_code == 404
        assert other.post("/support", {"athlete": "a1", "reason": "x" * 20}).status_code == 404
