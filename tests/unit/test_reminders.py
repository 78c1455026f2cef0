"""Reminders that somebody asked for and none other: what is due, once, at the person's own hour, and said with no word.

RFC 8030 for a push service, RFC 8058 for a letter's way out. The service is one of the test's own on this machine.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import time_machine
from django.core import mail
from django.test import Client
from django.urls import reverse

from athletes.records.models import Account, Athlete, CheckIn, PushAddress, Reminder, ReminderWay, ReminderWish, Session
from coaching.ledger.models import Period
from coaching.usecases import retention
from coaching.usecases.forecasts.fetching import Limits
from coaching.usecases.reminding import asked, remind, ways, webpush
from coaching.usecases.reminding.webpush import Browser
from tests import databases, stored
from tests import shown_cast as cast
from tests.push_stub import Stub, push_service
from tests.unit.test_webpush import AUTH, BROWSER_PUBLIC, opened

pytestmark = pytest.mark.django_db
VIENNA = "Europe/Vienna"
HEALTH = re.compile(r"skin|split|finger|hand|crack|tape|check|doctor|sore|damage|step|session|athlete", re.I)


@pytest.fixture(autouse=True)
def clock() -> Iterator[Any]:
    with time_machine.travel(datetime(2027, 3, 10, 12, tzinfo=UTC), tick=False) as travelling:
        yield travelling


@pytest.fixture(autouse=True)
def on(settings: Any) -> None:
    settings.TENPADS_PUSH_KEY = webpush.new_key()
    settings.TENPADS_PUSH_CONTACT = "mailto:club@example.org"
    settings.TENPADS_PUSH_HOSTS = ["127.0.0.1"]
    settings.TENPADS_ADDRESS = "https://tenpads.example"
    settings.TENPADS_MAIL_FROM = "Tenpads <tenpads@example.org>"


@pytest.fixture
def stub(monkeypatch: pytest.MonkeyPatch) -> Iterator[Stub]:
    monkeypatch.setattr(ways, "LIMITS", Limits(timeout_s=2, local_plain=True))
    with push_service() as found:
        yield found


class Cast:
    """An athlete in Vienna and their coach, both signed in."""

    def __init__(self) -> None:
        self.squad = stored.squad()
        (self.row,) = stored.athletes(["a1"], self.squad)
        Athlete.objects.update(timezone=VIENNA)
        stored.share([self.row])
        self.account = stored.login("athlete", self.squad, [self.row])
        self.coach = stored.login("head-coach", self.squad)
        self.own, self.coaching = Client(), Client()
        self.own.force_login(self.account)
        self.coaching.force_login(self.coach)

    def ask(self, who: Client | None = None, zone: str = VIENNA, quiet: tuple[str, str] = ("21:00", "07:00"),
            **at: str) -> Any:  # fmt: skip
        told = {f"at-{kind}": minute for kind, minute in at.items()}
        more = {"act": "ask", "timezone": zone, "quiet_from": quiet[0], "quiet_to": quiet[1], "kind": list(at)}
        return (who or self.own).post("/account/reminders", {**told, **more})

    def mailed(self, account: Any = None) -> None:
        told = {"mail_to": "me@example.org", "mail_confirmed": True}
        ReminderWay.objects.update_or_create(account=account or self.account, defaults=told)

    def browser(self, stub: Stub, name: str = "b1") -> None:
        made = {"act": "browser", "endpoint": f"{stub.address}/{name}", "p256dh": BROWSER_PUBLIC, "auth": AUTH}
        assert self.own.post("/account/reminders", made).status_code == 302


def minutes(clock: Any, n: int, until: datetime | None = None) -> None:
    """Run the minute's job for so many minutes, or until an instant; minutes with nothing in any row are leapt over."""
    end = until or datetime.now(UTC) + timedelta(minutes=n)
    while (now := datetime.now(UTC)) < end:
        rows = [*ReminderWish.objects.values_list("due_at", flat=True)]
        rows += Reminder.objects.filter(state__in=("waiting", "sending")).values_list("next_try_at", flat=True)
        rows += Reminder.objects.filter(state__in=("waiting", "sending")).values_list("lapses_at", flat=True)
        clock.move_to(max(now + timedelta(minutes=1), min([end, *rows])))
        remind.minutely()


def at(*parts: int) -> datetime:
    return datetime(2027, *parts, tzinfo=UTC)  # type: ignore[arg-type]


def test_nothing_is_sent_to_whoever_asked_for_nothing(clock: Any) -> None:
    cast_ = Cast()
    cast_.mailed()
    page = cast_.own.get("/account/reminders").content.decode()
    assert " checked" not in page
    minutes(clock, 0, at(3, 11, 12))
    assert mail.outbox == [] and not Reminder.objects.exists()


def test_the_morning_check_in_is_asked_for_once_at_its_minute_and_not_where_it_is_there(clock: Any) -> None:
    cast_ = Cast()
    assert cast_.ask(morning="07:15").status_code == 302
    cast_.mailed()
    minutes(clock, 0, at(3, 11, 6, 14))  # 07:14 in Vienna
    assert mail.outbox == []
    minutes(clock, 2)
    assert len(mail.outbox) == 1
    minutes(clock, 300)
    assert len(mail.outbox) == 1, "it came again"
    clock.move_to(at(3, 12, 6, 0))
    CheckIn.objects.create(athlete=cast_.row, local_date=at(3, 12).date(), reserve=5)
    minutes(clock, 120)
    assert len(mail.outbox) == 1, "it came although the check-in was there"


def test_a_letter_says_that_there_is_something_and_nothing_of_what(clock: Any) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.mailed()
    minutes(clock, 0, at(3, 11, 6, 16))
    (letter,) = mail.outbox
    assert letter.to == ["me@example.org"] and letter.from_email == "Tenpads <tenpads@example.org>"
    assert letter.subject == "Tenpads: There is something to look at."
    text = letter.body.replace("https://tenpads.example/me/check-in", "")
    assert not HEALTH.search(text + letter.subject), text
    stop = str(letter.extra_headers["List-Unsubscribe"]).strip("<>")
    assert letter.extra_headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click" and stop in letter.body
    path = stop.removeprefix("https://tenpads.example")
    alone = Client(enforce_csrf_checks=True)  # a mail program brings neither session nor token
    assert alone.get(path).status_code == 200
    assert ReminderWay.objects.get().mail_to, "looking at the page ended it"
    assert alone.post(path, {"List-Unsubscribe": "One-Click"}).status_code == 200
    assert ReminderWay.objects.get().mail_to == ""
    assert alone.get(path).status_code == 404 and alone.post(path).status_code == 404
    minutes(clock, 0, at(3, 12, 8))
    assert len(mail.outbox) == 1


def test_a_message_reaches_the_browser_alone_and_says_no_more(clock: Any, stub: Stub) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.browser(stub)
    minutes(clock, 0, at(3, 11, 6, 16))
    ((path, headers, body),) = stub.got
    told = json.loads(opened(body).rstrip(b"\0")[:-1])
    assert told == {"title": "Tenpads", "body": "There is something to look at.", "page": "/me/check-in"}
    assert (path, headers["content-encoding"], headers["ttl"]) == ("/b1", "aes128gcm", "3600")
    assert headers["authorization"].startswith("vapid t=") and b"look at" not in body
    assert Reminder.objects.get().state == "sent"


def test_several_that_are_due_come_as_one(clock: Any, stub: Stub) -> None:
    cast_ = Cast()
    event = stored.event()
    stored.conclude([cast_.row], event)  # of 11 March, with steps and looks of that day
    Session.objects.create(athlete=cast_.row, local_date=at(3, 11).date(), planned=True, minutes=60)
    cast_.ask(morning="20:00", session="20:00", step="20:00", look="20:00")
    cast_.browser(stub)
    clock.move_to(at(3, 11, 9))
    minutes(clock, 0, at(3, 11, 19, 2))
    assert len(stub.got) == 1
    assert json.loads(opened(stub.got[0][2]).rstrip(b"\0")[:-1])["page"] == "/me/today"
    assert set(Reminder.objects.get().kinds.split()) >= {"morning", "session"}


@pytest.mark.parametrize("what", ["nothing planned", "a day off", "told already"])
def test_after_a_session_only_where_one_was_planned_and_is_not_told_of(clock: Any, what: str) -> None:
    cast_ = Cast()
    cast_.ask(session="20:00")
    cast_.mailed()
    day = {"athlete": cast_.row, "local_date": at(3, 11).date()}
    if what != "nothing planned":
        Session.objects.create(**day, planned=True, minutes=0 if what == "a day off" else 60)
    if what == "told already":
        Session.objects.create(**day, planned=False, minutes=50)
    minutes(clock, 0, at(3, 11, 20))
    assert mail.outbox == []
    Session.objects.create(athlete=cast_.row, local_date=at(3, 12).date(), planned=True, minutes=60)
    minutes(clock, 0, at(3, 12, 20))
    assert len(mail.outbox) == 1


def test_a_step_only_while_it_is_not_told_of_and_a_look_on_its_own_day(clock: Any) -> None:
    cast_ = Cast()
    shown = cast.athlete()
    step = replace(shown.steps[0], date=stored.TODAY)
    stored.conclude([cast_.row], stored.event(), replace(shown, steps=(step,)))
    cast_.ask(step="18:00")
    cast_.mailed()
    with time_machine.travel(at(3, 11, 12), tick=False):
        assert remind.still(cast_.account, ["step"]) == ["step"]
        due = [d for entry in shown.entries for d in entry.deadlines if d.kind == "look"]
        assert bool(remind.still(cast_.account, ["look"])) == any(d.latest == stored.TODAY for d in due)
        from coaching.usecases.tell_step import step_key

        cast_.own.post("/me/today", {"step": step_key(step), "done": step_key(step)})
    with time_machine.travel(at(3, 12, 12), tick=False):
        assert remind.still(cast_.account, ["step"]) == [], "the steps of another day"


def test_the_coach_is_told_where_a_last_day_moved_and_of_the_same_once(clock: Any) -> None:
    cast_ = Cast()
    shown = cast.athlete()
    entry = shown.entries[0]
    moved = replace(entry.deadlines[0], latest=entry.deadlines[0].latest + timedelta(days=2))
    stored.conclude([cast_.row], stored.event())
    with time_machine.travel(at(3, 11, 12), tick=False):
        assert remind.still(cast_.coach, ["moved"]) == []
    from coaching.ledger.models import EntryConclusion

    row = EntryConclusion.objects.get(as_of=stored.TODAY)
    row.body["deadlines"][0]["latest"] = moved.latest.isoformat()
    row.save()
    with time_machine.travel(at(3, 11, 12), tick=False):
        assert remind.still(cast_.coach, ["moved"]) == ["moved"]
        assert remind.still(cast_.account, ["moved"]) == [], "a kind of coaches"
        stored.withdraw(athlete=cast_.row)
        assert remind.still(cast_.coach, ["moved"]) == [], "of somebody who lets nobody see"
    with time_machine.travel(at(3, 12, 12), tick=False):
        assert remind.still(cast_.coach, ["moved"]) == []


@pytest.mark.parametrize("night", ["spring", "autumn"])
def test_the_nights_on_which_the_clock_changes_bring_each_morning_once(clock: Any, night: str) -> None:
    first, hours_of_day = (at(3, 27, 12), (5, 15)) if night == "spring" else (at(10, 30, 12), (6, 15))
    clock.move_to(first)
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.mailed()
    seen: list[datetime] = []
    for _ in range(4 * 24):
        for _ in range(4):
            before = len(mail.outbox)
            minutes(clock, 15)
            seen += [datetime.now(UTC)] * (len(mail.outbox) - before)
    changed = first.date() + timedelta(days=1)
    assert [one.date() for one in seen] == [changed + timedelta(days=n) for n in range(4)]
    assert {(one.hour, one.minute) for one in seen} == {hours_of_day}


def test_a_change_of_zone_on_the_way_brings_no_day_twice(clock: Any) -> None:
    """Vienna to New York on the day after breakfast, then on to Auckland: each local day once at most."""
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.mailed()
    minutes(clock, 0, at(3, 11, 7))
    assert len(mail.outbox) == 1
    cast_.ask(zone="America/New_York", morning="07:15")
    minutes(clock, 0, at(3, 11, 12))  # 08:00 of the same day in New York
    assert len(mail.outbox) == 1
    minutes(clock, 0, at(3, 12, 11, 20))  # 07:20 there: summer time does not begin before the 14th, 12:15 in UTC
    assert len(mail.outbox) == 1
    minutes(clock, 0, at(3, 12, 12, 20))
    assert len(mail.outbox) == 2
    cast_.ask(zone="Pacific/Auckland", morning="07:15")
    minutes(clock, 0, at(3, 12, 18, 20))  # 07:20 of the 13th there
    assert len(mail.outbox) == 3
    assert ReminderWish.objects.get().due_on == at(3, 14).date()


def test_what_could_not_go_out_lapses_and_none_arrives_at_night(clock: Any) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15", session="20:45")
    cast_.mailed()
    Session.objects.create(athlete=cast_.row, local_date=at(3, 11).date(), planned=True, minutes=60)
    clock.move_to(at(3, 11, 7, 30))  # 08:30: nobody ran the job for an hour and a quarter
    remind.minutely()
    assert mail.outbox == [] and ReminderWish.objects.get(kind="morning").due_on == at(3, 12).date()
    clock.move_to(at(3, 11, 20, 1))  # 21:01: quiet by now, and within the hour
    remind.minutely()
    assert mail.outbox == [] and not Reminder.objects.filter(state="waiting").exists()


@pytest.mark.parametrize("kind", ["morning", "session"])
def test_an_hour_that_is_quiet_cannot_be_asked_for(kind: str) -> None:
    cast_ = Cast()
    answer = cast_.ask(**{kind: "22:00"})
    assert answer.status_code == 422 and not ReminderWish.objects.exists()
    assert "within the hours" in answer.content.decode() and 'value="22:00"' in answer.content.decode()


@pytest.mark.parametrize(
    "wrong",
    [{"morning": "25:00"}, {"morning": ""}, {"morning": "7:15"}, {"zone": "Nowhere/Town"}, {"quiet": ("x", "07:00")}],
)
def test_what_cannot_be_meant_is_refused_and_nothing_changes(wrong: dict[str, Any]) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:30")
    assert cast_.ask(**{"session": "19:00", **wrong}).status_code == 422
    assert list(ReminderWish.objects.values_list("kind", "minute")) == [("morning", 450)]


def test_kinds_of_others_cannot_be_asked_for() -> None:
    cast_ = Cast()
    assert cast_.ask(moved="08:00").status_code == 422
    assert cast_.ask(cast_.coaching, morning="08:00").status_code == 422 and not ReminderWish.objects.exists()
    assert cast_.ask(cast_.coaching, moved="08:00").status_code == 302


def test_a_busy_service_is_tried_three_times_within_the_hour_and_then_left(clock: Any, stub: Stub) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.browser(stub)
    stub.answers = [(503, {})]
    minutes(clock, 0, at(3, 11, 8))
    assert len(stub.got) == remind.MOST_TRIES and Reminder.objects.get().state == "lapsed"


def test_it_waits_for_as_long_as_the_service_asks_and_not_past_the_hour(clock: Any, stub: Stub) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.browser(stub)
    stub.answers = [(429, {"Retry-After": "1200"}), (201, {})]
    minutes(clock, 0, at(3, 11, 6, 34))
    assert len(stub.got) == 1
    minutes(clock, 3)
    assert len(stub.got) == 2 and Reminder.objects.get().state == "sent"
    stub.answers = [(429, {"Retry-After": "4000"}), (201, {})]
    minutes(clock, 0, at(3, 12, 9))
    assert len(stub.got) == 3 and Reminder.objects.order_by("-id")[0].state == "lapsed"


def test_a_second_try_is_not_made_where_the_check_in_came_meanwhile(clock: Any, stub: Stub) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.browser(stub)
    stub.answers = [(503, {}), (201, {})]
    minutes(clock, 0, at(3, 11, 6, 15))
    CheckIn.objects.create(athlete=cast_.row, local_date=at(3, 11).date(), reserve=5)
    minutes(clock, 30)
    assert len(stub.got) == 1 and Reminder.objects.get().state == "lapsed"


@pytest.mark.parametrize("status", [404, 410])
def test_a_browser_that_is_gone_is_forgotten(clock: Any, stub: Stub, status: int) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.browser(stub)
    stub.answers = [(status, {})]
    minutes(clock, 0, at(3, 11, 8))
    assert len(stub.got) == 1 and not PushAddress.objects.exists() and not Reminder.objects.exists()


@pytest.mark.parametrize("status", [301, 400, 413])
def test_another_refusal_is_the_end_of_the_message_and_of_nothing_else(clock: Any, stub: Stub, status: int) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.browser(stub)
    stub.answers = [(status, {"Location": stub.address + "/elsewhere"})]
    minutes(clock, 0, at(3, 11, 8))
    assert [path for path, _, _ in stub.got] == ["/b1"] and PushAddress.objects.exists()
    assert Reminder.objects.get().state == "lapsed"


def test_two_schedulers_at_the_same_minute_send_it_once(tmp_path: Any, clock: Any, stub: Stub) -> None:
    """On a file of its own, because threads bring connections of their own."""
    with databases.filed(tmp_path):
        cast_ = Cast()
        cast_.ask(morning="07:15")
        cast_.browser(stub)
        clock.move_to(at(3, 11, 6, 16))
        databases.at_once(remind.minutely, 6)
        Period.objects.all().delete()  # and once more, as if no period were believed
        databases.at_once(lambda: (remind.remind(datetime.now(UTC)), remind.send(datetime.now(UTC))), 6)
        assert len(stub.got) == 1 and Reminder.objects.count() == 1


def test_whoever_dies_with_a_message_in_hand_leaves_none_to_be_sent_twice(clock: Any, stub: Stub) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.browser(stub)
    clock.move_to(at(3, 11, 6, 16))
    now = datetime.now(UTC)
    remind.remind(now)
    Reminder.objects.update(state="sending", attempts=1)
    minutes(clock, 90)
    assert stub.got == [] and Reminder.objects.get().state == "lapsed"


@pytest.mark.parametrize("how", ["closed", "held", "no role", "asked no more", "no second factor"])
def test_nobody_is_reminded_who_could_not_come_in(clock: Any, how: str) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.mailed()
    if how == "closed":
        Account.objects.filter(pk=cast_.account.pk).update(is_active=False)
    elif how == "held":
        Account.objects.filter(pk=cast_.account.pk).update(vouch_needed_since=stored.NOW)
    elif how == "no role":
        cast_.account.person.roles.all().delete()
    elif how == "no second factor":
        cast_.account.person.roles.create(role="assistant", squad=cast_.squad)
    else:
        cast_.ask()
    minutes(clock, 0, at(3, 11, 8))
    assert mail.outbox == []


def test_off_means_off(clock: Any, settings: Any, stub: Stub) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.browser(stub)
    cast_.mailed()
    settings.TENPADS_PUSH_CONTACT = settings.TENPADS_MAIL_FROM = ""
    page = cast_.own.get("/account/reminders").content.decode()
    assert "sends no mail" in page and "sends none to browsers" in page
    minutes(clock, 0, at(3, 11, 8))
    assert stub.got == [] and mail.outbox == []
    assert cast_.own.post("/account/reminders", {"act": "mail", "mail": "a@example.org"}).status_code == 422


HOSTS = ["push.example.net", "push.example.org"]
REFUSED = [
    "http://push.example.net/x", "https://push.example.net:8443/x", "https://push.example.net.evil.example/x",
    "https://evilpush.example.net/x", "https://user@push.example.net/x", "https://push.example.net@evil.example/x",
    "https://127.0.0.1/x", "https://[::1]/x", "https://push.example.net:x/", "https://push.example.net/" + "x" * 1000,
    "https:///x", "", "file:///etc/passwd", "https://push.example.net/ x\r\nHost: y", "https://push.exämple.net/x",
]  # fmt: skip


@pytest.mark.parametrize("endpoint", REFUSED)
def test_a_message_goes_to_no_host_that_the_settings_do_not_name(settings: Any, endpoint: str) -> None:
    settings.TENPADS_PUSH_HOSTS = HOSTS
    for good in ("https://push.example.net/x", "https://a.b.push.example.org:443/x?y=1"):
        assert ways.takes(Browser(good, BROWSER_PUBLIC, AUTH))
    assert not ways.takes(Browser(endpoint, BROWSER_PUBLIC, AUTH))
    told = {"act": "browser", "endpoint": endpoint, "p256dh": BROWSER_PUBLIC, "auth": AUTH}
    assert Cast().own.post("/account/reminders", told).status_code == 422 and not PushAddress.objects.exists()


def test_a_named_host_that_leads_into_this_machine_is_not_asked(settings: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    import socket

    settings.TENPADS_PUSH_HOSTS = HOSTS
    for address in ("127.0.0.1", "10.0.0.1", "169.254.169.254", "::1", "fd00::1"):
        row = (socket.AF_INET, socket.SOCK_STREAM, 6, "", (address, 443))
        monkeypatch.setattr(socket, "getaddrinfo", lambda *a, row=row, **k: [row])
        monkeypatch.setattr(socket, "create_connection", lambda *a, **k: pytest.fail("it was asked"))
        found = ways.send_push(Browser("https://push.example.net/x", BROWSER_PUBLIC, AUTH), ["morning"], stored.NOW)
        assert found == (ways.AGAIN, 0)


def test_a_mail_address_counts_once_its_own_letter_was_answered(clock: Any) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    assert cast_.own.post("/account/reminders", {"act": "mail", "mail": "me@example.org"}).status_code == 302
    (letter,) = mail.outbox
    minutes(clock, 0, at(3, 11, 8))
    assert len(mail.outbox) == 1, "a reminder went to an address that nobody had confirmed"
    path = re.search(r"https://tenpads\.example(/reminders/yes/\S+)", letter.body)[1]  # type: ignore[index]
    opened_by_a_scanner = Client().get(path)
    assert opened_by_a_scanner.status_code == 200 and opened_by_a_scanner["Referrer-Policy"] == "no-referrer"
    assert not ReminderWay.objects.get().mail_confirmed
    assert Client().post(path).status_code == 200 and ReminderWay.objects.get().mail_confirmed
    minutes(clock, 0, at(3, 12, 8))
    assert len(mail.outbox) == 2


def test_a_link_of_a_letter_is_good_for_its_own_address_and_time(clock: Any) -> None:
    cast_ = Cast()
    cast_.own.post("/account/reminders", {"act": "mail", "mail": "me@example.org"})
    token = re.search(r"/reminders/yes/(\S+)", mail.outbox[0].body)[1]  # type: ignore[index]
    assert Client().get(reverse("stop-link", args=[token])).status_code == 404, "a link of the other kind"
    ReminderWay.objects.update(mail_to="else@example.org")
    assert Client().post(reverse("mail-link", args=[token])).status_code == 404
    ReminderWay.objects.update(mail_to="me@example.org")
    clock.shift(timedelta(days=3, minutes=1))
    assert Client().post(reverse("mail-link", args=[token])).status_code == 404
    assert not ReminderWay.objects.get().mail_confirmed


def test_letters_to_unconfirmed_addresses_are_five_a_day() -> None:
    cast_ = Cast()
    for n in range(5):
        assert cast_.own.post("/account/reminders", {"act": "mail", "mail": f"m{n}@example.org"}).status_code == 302
    assert cast_.own.post("/account/reminders", {"act": "mail", "mail": "m6@example.org"}).status_code == 422
    assert len(mail.outbox) == 5


def test_another_accounts_browser_is_not_there_to_be_ended(stub: Stub) -> None:
    cast_ = Cast()
    cast_.browser(stub)
    row = PushAddress.objects.get()
    assert cast_.coaching.post("/account/reminders", {"act": f"drop {row.pk}"}).status_code == 404
    assert cast_.own.post("/account/reminders", {"act": f"drop {row.pk}"}).status_code == 302
    assert not PushAddress.objects.exists()


def test_a_browser_that_changes_hands_is_its_new_owners_alone(stub: Stub) -> None:
    cast_ = Cast()
    cast_.browser(stub)
    asked.add_browser(cast_.coach, Browser(f"{stub.address}/b1", BROWSER_PUBLIC, AUTH), "phone")
    assert PushAddress.objects.get().account_id == cast_.coach.pk


def test_what_was_sent_is_forgotten_after_a_week(clock: Any) -> None:
    cast_ = Cast()
    cast_.ask(morning="07:15")
    cast_.mailed()
    minutes(clock, 0, at(3, 11, 8))
    assert Reminder.objects.exists()
    clock.shift(timedelta(days=8))
    retention.keep_terms(dry=False)
    assert not Reminder.objects.exists() and ReminderWish.objects.exists()
