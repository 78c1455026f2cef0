"""Words of consent: only added, two under 18, over after twelve months and at 18, taken back at once."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
import time_machine
from django.db import DatabaseError, connection, transaction
from django.test import Client

from athletes.records import access, ages, choices, consents
from athletes.records.append_only_guard import put_up
from athletes.records.consents import Text, What
from athletes.records.errors import BadInput, NotFound
from athletes.records.models import Account, Athlete, Club, Consent, Role
from athletes.records.models.append_only import AppendOnlyError
from coaching.usecases import who_sees
from tests import stored

pytestmark = pytest.mark.django_db
NOW, TODAY, DAY = stored.NOW, stored.TODAY, timedelta(days=1)
TEXT = Text("v", "0" * 64, "en")
LEVEL = What("head-coach", "level")


@pytest.fixture(autouse=True)
def clock():
    with time_machine.travel(NOW, tick=False):
        yield


def viewer(account: Account, now: datetime = NOW):
    return access.viewer_for(account, now.date(), now)


def cast(born: date):
    squad = stored.squad()
    (row,) = stored.athletes(["a1"], squad, born)
    own, guard = stored.login("athlete", squad, [row]), stored.login("guardian", None, [row])
    return row, own, guard, stored.login("head-coach", squad)


def seen(account: Account, row: Athlete, now: datetime = NOW) -> frozenset[str]:
    return access.shared_classes(viewer(account, now), [row.id])[row.id]


def say(account: Account, what: What = LEVEL, now: datetime = NOW) -> int:
    who = viewer(account, now)
    code = None if "athlete" in who.roles() else "a1"
    return consents.give(who, consents.subject(who, code), [what], TEXT, now)


def test_nothing_is_shared_to_begin_with() -> None:
    row, _, _, coach = cast(stored.ADULT)
    assert seen(coach, row) == frozenset()


def test_a_grown_athletes_word_is_enough_and_keeps_what_was_read() -> None:
    row, own, _, coach = cast(stored.ADULT)
    assert say(own) == 1 and say(own) == 0  # the same word twice is one
    assert seen(coach, row) == {"level"}
    kept = Consent.objects.get()
    assert (kept.grantor, kept.grantor_role, kept.method, kept.made_at) == (own.person_id, "self", "page", NOW)
    assert (kept.text_version, kept.text_hash, kept.locale) == ("v", "0" * 64, "en")
    assert kept.until - kept.given_on == timedelta(days=364)


def test_under_18_it_takes_the_athlete_and_a_guardian_in_either_order() -> None:
    row, own, guard, coach = cast(TODAY.replace(year=TODAY.year - 17))
    say(own)
    assert seen(coach, row) == frozenset()
    say(guard)
    assert seen(coach, row) == {"level"}
    who = viewer(own)
    assert consents.withdraw(who, consents.subject(who, None), [LEVEL], TEXT, NOW) == 2
    assert seen(coach, row) == frozenset()


def test_a_guardian_alone_shares_nothing() -> None:
    row, _, guard, coach = cast(stored.MINOR)
    say(guard)
    assert seen(coach, row) == frozenset()


@pytest.mark.parametrize(
    ("country", "age", "first"), [("AT", 14, True), ("AT", 13, False), ("DE", 15, False), ("", 15, False)]
)
def test_below_the_age_of_the_country_the_guardian_speaks_first(country: str, age: int, first: bool) -> None:
    _, own, guard, _ = cast(TODAY.replace(year=TODAY.year - age))
    Club.objects.update(country=country)
    if first:
        assert say(own) == 1
        return
    with pytest.raises(BadInput, match="guardian-first"):
        say(own)
    say(guard)
    assert say(own) == 1


def test_the_ages_are_those_that_the_regulation_allows() -> None:
    """Art. 8(1) of Regulation (EU) 2016/679: 16, or lower by a country's law, but not below 13."""
    assert {ages.own_word_from(code) for code in ("", "zz", "DE")} == {16}
    assert all(13 <= age <= 16 for age in ages._table()["countries"].values())


def test_no_word_of_a_minor_reaches_the_eighteenth_birthday() -> None:
    row, own, guard, coach = cast(TODAY.replace(year=TODAY.year - 18) + 10 * DAY)
    say(own), say(guard)
    assert {word.until for word in Consent.objects.all()} == {TODAY + 9 * DAY}
    assert seen(coach, row, NOW + 9 * DAY) == {"level"} and seen(coach, row, NOW + 10 * DAY) == frozenset()


def test_what_a_bundle_brought_ends_at_18_as_well_and_is_asked_anew() -> None:
    row, own, guard, coach = cast(TODAY.replace(year=TODAY.year - 18) + 10 * DAY)
    stored.share([row], ["level"])
    assert seen(coach, row, NOW + 9 * DAY) == {"level"} and seen(coach, row, NOW + 10 * DAY) == frozenset()
    late = NOW + 10 * DAY
    assert consents.end_those_of_minors(late.date(), late) == 2  # the word, and the guardian's role
    assert consents.end_those_of_minors(late.date(), late) == 0
    assert not Role.objects.filter(role="guardian").exists()
    say(own, now=late)
    assert seen(coach, row, late) == {"level"}


def test_born_on_29_february_is_of_age_on_1_march() -> None:
    row, own, _, coach = cast(date(2008, 2, 29))
    stored.share([row], ["level"])
    day = datetime(2026, 2, 28, 12, tzinfo=UTC)
    assert access.is_minor(row.birth_date, day.date()) and not access.is_minor(row.birth_date, date(2026, 3, 1))
    assert str(access.access_words.of_age_on(row.birth_date)) == "2026-03-01"


def test_a_word_to_one_person_is_no_word_to_another_in_the_role() -> None:
    row, own, _, coach = cast(stored.ADULT)
    other = stored.login("head-coach", row.memberships.get().squad)
    say(own, What("head-coach", "level", coach.person_id))
    assert seen(coach, row) == {"level"} and seen(other, row) == frozenset()
    page = who_sees.who_sees(viewer(own), None)
    (alone,) = [role for role in page.roles if role.person is not None]
    assert alone.names == (coach.person.name,) and alone.cells[0].shared
    with pytest.raises(BadInput):
        say(own, What("head-coach", "level", 10**9))


def test_only_the_athlete_and_a_minors_guardian_have_a_say() -> None:
    row, own, guard, coach = cast(stored.ADULT)
    stored.share([row])
    for account in (guard, coach, stored.login("athlete", None, stored.athletes(["a2"], row.memberships.get().squad))):
        with pytest.raises(NotFound):
            consents.subject(viewer(account), "a1")


@pytest.mark.parametrize("what", [What("support", "level"), What("guardian", "level"), What("head-coach", "all")])
def test_what_is_no_role_or_class_is_refused(what: What) -> None:
    _, own, _, _ = cast(stored.ADULT)
    with pytest.raises(BadInput):
        say(own, what)


def test_rows_are_added_and_neither_changed_nor_dropped_by_anybody() -> None:
    row, own, _, _ = cast(stored.ADULT)
    say(own)
    word = Consent.objects.get()
    for change in (
        lambda: Consent.objects.update(data_class="notes"),
        lambda: Consent.objects.all().delete(),
        lambda: Consent.objects.bulk_update([word], ["until"]),
        lambda: Consent.objects.bulk_create([word], update_conflicts=True),
        word.save,
        word.delete,
    ):
        with pytest.raises(AppendOnlyError):
            change()
    put_up()  # once more, as after a migration: the triggers stand once
    for sql in ("UPDATE records_consent SET until = NULL", "DELETE FROM records_consent"):
        with pytest.raises(DatabaseError, match="added only"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(sql)
    assert Consent.objects.get().until == word.until


def client(account: Account) -> Client:
    found = Client()
    found.force_login(account)
    return found


def test_giving_and_taking_back_are_one_tap_each_and_the_next_request_knows() -> None:
    row, own, _, coach = cast(stored.ADULT)
    mine, theirs = client(own), client(coach)
    assert theirs.get("/api/v1/athletes/a1").status_code == 404
    assert mine.post("/me/who-sees", {"do": "share:head-coach:level"}).status_code == 302
    assert theirs.get("/api/v1/athletes/a1").json()["shared"] == ["level"]
    assert mine.post("/me/who-sees", {"do": "stop:head-coach:level"}).status_code == 302
    assert theirs.get("/api/v1/athletes/a1").status_code == 404
    html = mine.get("/me/who-sees").content.decode()
    assert html.count(">Share</button>") == len(choices.DATA_CLASSES) and ">Stop" not in html


def test_only_the_level_takes_everything_else_back() -> None:
    row, own, _, coach = cast(stored.ADULT)
    stored.share([row])
    client(own).post("/me/who-sees", {"do": "level:head-coach"})
    assert seen(coach, row) == {"level"}
    client(own).post("/me/who-sees", {"do": "stop:head-coach"})
    assert seen(coach, row) == frozenset()


@pytest.mark.parametrize(
    "do", ["", "share", "share:", "stop:", "level:", "level:athlete", "share:head-coach:x", "share:x:level", "go:x"]
)
def test_what_no_button_says_changes_nothing(do: str) -> None:
    _, own, _, _ = cast(stored.ADULT)
    assert client(own).post("/me/who-sees", {"do": do}).status_code == 302
    assert not Consent.objects.exists()


def test_a_minors_page_shows_both_words_and_that_a_guardian_sees_everything() -> None:
    _, own, guard, _ = cast(TODAY.replace(year=TODAY.year - 16))
    say(own)
    mine, theirs = (client(one).get("/me/who-sees").content.decode() for one in (own, guard))
    assert "you: yes; your guardian: not yet" in mine and "sees everything of yours until you are 18" in mine
    assert "athlete: yes; you, the guardian: not yet" in theirs and "both said yes" in theirs


def test_refusing_leaves_no_mark_but_not_shared() -> None:
    """A coach's list is the same, byte for byte, whether somebody never said yes or took it back."""
    squad = stored.squad()
    rows = stored.athletes(["a1", "a2"], squad)
    stored.conclude(rows, stored.event())
    stored.share(rows[:1])
    coach = client(stored.login("head-coach", squad))
    never = coach.get("/morning").content
    stored.share(rows[1:])
    assert b"Athlete a2" in coach.get("/morning").content
    stored.withdraw(athlete=rows[1])
    assert coach.get("/morning").content == never and b"Athlete a2" not in never
