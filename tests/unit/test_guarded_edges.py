"""Rare ways through the modules that guard a record: values that no file brings but a form or a program might, folders
that are none, what is asked of nobody.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.db import IntegrityError, transaction

from athletes.records import (
    access,
    access_listing,
    access_seen,
    access_writing,
    consents,
    glass,
    reads,
    register,
    retention,
    row_scope,
)
from athletes.records.bundle import reading
from athletes.records.bundle.columns import TABLES
from athletes.records.errors import BadInput, NotFound
from athletes.records.models import Athlete, BrokenGlass, CheckIn, Consent, SignedIn, Tried
from athletes.records.row_scope import Scope
from coaching.usecases import access_log, break_glass, erase
from coaching.usecases import retention as kept
from coaching.usecases.export_bundle import export_bundle
from tests import bundles, stored
from tests.guarded import viewer


@pytest.fixture(autouse=True)
def _now() -> Iterator[None]:
    with time_machine.travel(stored.NOW, tick=False):
        yield


# --- the door

@pytest.mark.django_db
def test_whoever_is_no_athlete_has_no_own_page_and_a_coach_answers_for_nobody() -> None:
    squad = stored.squad()
    row = stored.athletes(["a1"], squad)[0]
    stored.share([row])
    coach = viewer(stored.login("head-coach", squad))
    with pytest.raises(NotFound):
        access.own_athlete(coach)
    with pytest.raises(NotFound):
        access.athlete_to_check_in(coach, "a1")
    assert access.athlete_by_code(coach, "a1").id == row.pk
    own = viewer(stored.login("athlete", squad, [row]))
    assert access.athlete_to_check_in(own).id == access.own_athlete(own).id == row.pk


@pytest.mark.django_db
def test_facts_are_stored_by_the_athlete_or_by_a_role_that_the_class_is_shared_with() -> None:
    squad = stored.squad()
    row = stored.athletes(["a1"], squad)[0]
    stored.share([row], ["level", "damage"])
    stored.share([row], ["level"], role="medical")
    coach, medical = (viewer(stored.login(role, squad)) for role in ("head-coach", "medical"))
    own = viewer(stored.login("athlete", squad, [row]))
    write, team = access_writing.athlete_to_write, access_writing.TEAM
    assert write(own, "a1", "damage").id == row.pk
    assert write(coach, "a1", "damage", team).id == row.pk
    for who, data_class, roles in ((coach, "damage", access_writing.NOBODY), (coach, "damage", access_writing.MEDICAL),
                                   (medical, "damage", team), (coach, "notes", team)):  # fmt: skip
        with pytest.raises(NotFound):
            write(who, "a1", data_class, roles)
    with pytest.raises(NotFound):
        write(own, "a1", "damage", own=False)
    ref = access.athlete_by_code(coach, "a1")
    assert access_writing.role_over(coach, ref, "damage") == "coach"
    assert access_writing.role_over(medical, access.athlete_by_code(medical, "a1"), "damage") == "medical"


@pytest.mark.django_db
def test_the_operator_and_whoever_has_no_squad_ask_for_lists_too() -> None:
    row = stored.athletes(["a1"], stored.squad())[0]
    operator = access.OPERATOR(stored.TODAY)
    assert list(access_listing.sharing(operator, "level").values_list("athlete_id", flat=True)) == [row.pk]
    nobody = viewer(stored.login("support"))
    with access_listing.before_looking(nobody, "level"), row_scope.of(Scope()) as scope:
        assert scope.asked is None
    coach = viewer(stored.login("head-coach", row.memberships.get().squad))
    with row_scope.of(Scope({5})), access_listing.before_looking(coach, "level"):
        told, given = row_scope.before("SELECT 1", None)
    assert told.endswith("; SELECT 1") and "records_consent" in told and given and given[0] == "5"


@pytest.mark.django_db
def test_what_the_door_lets_through_is_in_the_scope_and_no_one_else_and_ends_with_it() -> None:
    squad = stored.squad()
    one, other = stored.athletes(["a1", "a2"], squad)
    stored.share([one])
    coach = viewer(stored.login("head-coach", squad))
    with row_scope.of(Scope(account=7)) as scope, access_seen.watching() as seen:
        assert row_scope.before("SELECT 1", None)[0].startswith("SET LOCAL tenpads.athletes TO ''; ")
        access.athlete_by_code(coach, "a1")
        with pytest.raises(NotFound):
            access.athlete_by_code(coach, "a2")
        assert scope.athletes == set(seen) == {one.pk}
        with row_scope.besides([other.pk]):
            assert f"'{one.pk},{other.pk}'" in row_scope.before("SELECT 1", None)[0]
        text, given = row_scope.before("SELECT %s", [1])
        assert text == f"SET LOCAL tenpads.athletes TO '{one.pk}'; SET LOCAL tenpads.account TO '7'; SELECT %s"
        assert given == [1]
    with row_scope.everybody():
        assert "TO 'all'; SET LOCAL tenpads.account TO ''; " in row_scope.before("SELECT 1", None)[0]
    with row_scope.of(None):  # type: ignore[arg-type]  # a thread that nobody told anything
        row_scope.let_through([one.pk])
        assert "tenpads.athletes TO ''; " in row_scope.before("SELECT 1", None)[0]


def test_parts_of_an_answer_that_are_made_while_it_is_sent_are_in_its_scope() -> None:
    def parts() -> Iterator[str]:
        yield row_scope.before("", None)[0]
        yield row_scope.before("", None)[0]

    found = row_scope.within(Scope({9}), parts())
    with row_scope.of(Scope({3})):
        both = [next(found), next(found)]
        assert "'3'" in row_scope.before("", None)[0]
    assert all("'9'" in one for one in both) and list(found) == []


# --- support, log, words

@pytest.mark.django_db
def test_support_is_let_in_to_somebody_who_is_there_for_an_hour_and_told() -> None:
    squad = stored.squad()
    row = stored.athletes(["a1"], squad)[0]
    account = stored.login("support")
    reason = "cannot send their check-in"
    for code in ("a9", "a\0"):
        with pytest.raises(NotFound):
            glass.open_for(account.person_id, code, reason, stored.NOW)
    for who in (None, stored.login("head-coach", squad).person_id):
        with pytest.raises(NotFound):
            glass.open_for(who, "a1", reason, stored.NOW)
    with pytest.raises(BadInput):
        glass.open_for(account.person_id, "a1", "  short   ", stored.NOW)
    with pytest.raises(NotFound):
        break_glass.opened(viewer(stored.login("manager", squad)))
    assert break_glass.opened(viewer(account)) == () and glass.close(None, stored.NOW) == 0
    look = break_glass.break_glass(viewer(account), "a1", f" {reason} ")
    assert look.reason == reason and look.ends_at - look.opened_at == timedelta(hours=1)
    assert [(code, one) for code, _, one in break_glass.opened(viewer(account))] == [("a1", look)]
    assert access.athlete_by_code(viewer(account), "a1").shared == access.EVERYTHING
    assert glass.of_athlete(row.pk, stored.NOW) == (look,) and glass.of_athlete(row.pk, stored.NOW + timedelta(1)) == ()
    later = access.viewer_for(account, stored.TODAY, look.ends_at)
    assert [g.athlete_id for g in later.grants] == [None] and glass.open_now(account.person_id, look.ends_at) == ()
    assert break_glass.mend(viewer(account)) == 1 and break_glass.opened(viewer(account)) == ()
    assert break_glass.mend(viewer(account)) == 0
    assert BrokenGlass.objects.get().closed_at == stored.NOW


@pytest.mark.django_db
def test_nothing_seen_is_not_written_and_a_full_memory_is_emptied(monkeypatch: pytest.MonkeyPatch) -> None:
    coach = viewer(stored.login("head-coach", stored.squad()))
    access_log.write(coach, {}, "morning", "GET", False)
    assert reads.AccessLog.objects.count() == 0
    monkeypatch.setattr(reads, "_known", {("a", "b"), ("a", "c")})
    monkeypatch.setattr(reads, "MOST_KNOWN", 2)
    reads._know("d")
    assert {scope for _, scope in reads._known} == {"d"}
    reads._know("e")
    assert {scope for _, scope in reads._known} == {"d", "e"}


@pytest.mark.django_db
def test_a_childs_own_word_does_not_go_before_a_guardians() -> None:
    squad = stored.squad()
    row = stored.athletes(["a1"], squad, date(2018, 5, 14))[0]
    stored.login("head-coach", squad)
    own, guard = viewer(stored.login("athlete", squad, [row])), viewer(stored.login("guardian", None, [row]))
    text, what = consents.Text("1", "d", "en"), [consents.What("head-coach", "level")]
    ref = access.own_athlete(own)
    with pytest.raises(BadInput, match="guardian-first"):
        consents.give(own, ref, what, text, stored.NOW)
    assert consents.give(guard, ref, what, text, stored.NOW) == 1
    assert consents.give(own, ref, what, text, stored.NOW) == 1
    assert consents.give(own, ref, what, text, stored.NOW) == 0
    assert Consent.objects.count() == 2


@pytest.mark.django_db
def test_words_are_added_and_neither_changed_nor_dropped_by_whatever_way() -> None:
    row = stored.athletes(["a1"], stored.squad())[0]
    stored.share([row], ["level"])
    word = Consent.objects.get()
    ways = [
        lambda: word.save(), lambda: word.delete(), lambda: Consent.objects.update(purpose="travel"),
        lambda: Consent.objects.all().delete(), lambda: Consent.objects.bulk_update([word], ["purpose"]),
        lambda: Consent.objects.update_or_create(id=word.pk, defaults={"purpose": "travel"}),
        lambda: Consent.objects.bulk_create([word], update_conflicts=True, update_fields=["purpose"],
                                            unique_fields=["id"]),
    ]  # fmt: skip
    for way in ways:
        with pytest.raises(TypeError, match="never changed"):
            way()
    with pytest.raises(IntegrityError), transaction.atomic():
        Consent._base_manager.filter(pk=word.pk)._raw_delete("default")
    assert Consent.objects.get().purpose == "coaching"


# --- terms

@pytest.mark.django_db
def test_each_term_counts_what_is_past_it_and_drops_it() -> None:
    row, fresh = stored.athletes(["a1", "a2"], stored.squad())
    account = stored.login("athlete", None, [row])
    long_ago = stored.TODAY - timedelta(days=retention.ACTIVITY_DAYS + 1)
    last = stored.TODAY - timedelta(days=retention.ACTIVITY_DAYS)
    CheckIn.objects.create(athlete=row, local_date=long_ago, reserve=5)
    CheckIn.objects.create(athlete=fresh, local_date=last, reserve=5)
    for key, at in (("over", stored.NOW - timedelta(seconds=1)), ("stands", stored.NOW)):
        SignedIn.objects.create(session_key=key, account=account, session_data="", expire_date=at)
    Tried.objects.create(what="over", until_s=int(stored.NOW.timestamp()), times=3)
    Tried.objects.create(what="stands", until_s=int(stored.NOW.timestamp()) + 1, times=3)
    assert retention.inactive(stored.NOW) == [row.pk]
    dry = kept.keep_terms(dry=True).counts
    assert (dry["activity"], dry["session"], dry["network"]) == (1, 1, 1) and CheckIn.objects.count() == 2
    kept.keep_terms(dry=False)
    assert CheckIn.objects.get().athlete == fresh
    assert SignedIn.objects.get().session_key == "stands" and Tried.objects.get().what == "stands"
    assert kept.daily() == kept.daily(kept.daily()) and kept.hourly() == kept.hourly(kept.hourly())
    assert Athlete.objects.count() == 2
    assert set(retention.TERMS) <= set(register.loaded()["retention"])


# --- what is left over

def test_one_file_is_read_alone_with_its_good_rows_and_its_bad() -> None:
    rows, wrong = reading.read_table(TABLES["athletes.csv"], b"athlete_id,name,birth_date\na1,Ada,\n,Bo,\n")
    assert [row[:2] for row in rows.rows] == [("a1", "Ada")] and [(one.row, one.column) for one in wrong] == [
        (3, "athlete_id")
    ]


@pytest.mark.django_db
def test_a_file_with_a_first_row_alone_stores_nothing(tmp_path: Path) -> None:
    path = bundles.folder(tmp_path / "b", {})
    (path / "checkins.csv").write_text("athlete_id,local_date,reserve\n")
    told = bundles.import_bundle(path, club_name="Club", now=bundles.NOW)
    assert (told.stored["checkins"], told.already["checkins"], told.stored["athletes"]) == (0, 0, 1)


def exported(tmp_path: Path, name: str, row: Athlete) -> list[str]:
    own = access.OPERATOR(stored.TODAY)
    export_bundle(tmp_path / name, viewer=own, now=stored.NOW, athlete_codes=[row.code])
    file = tmp_path / name / "consents.csv"
    return file.read_text().splitlines()[1:] if file.exists() else []


@pytest.mark.django_db
def test_a_bundle_tells_of_words_that_were_enough_and_while_both_stood(tmp_path: Path) -> None:
    squad = stored.squad()
    adult, child = stored.athletes(["a1"], squad)[0], stored.athletes(["a2"], squad, stored.MINOR)[0]
    word = {"grantee_role": "medical", "data_class": "level", "purpose": "medical"}
    day = stored.TODAY - timedelta(days=30)
    Consent.objects.create(athlete=adult, grantor_role="guardian", given_on=day, **word)
    assert exported(tmp_path, "guardians", adult) == []  # nobody speaks for an adult
    Consent.objects.create(athlete=adult, grantor_role="self", given_on=day, **word)
    assert len(exported(tmp_path, "own", adult)) == 1
    Consent.objects.create(
        athlete=child, grantor_role="self", given_on=day, until=day + timedelta(days=5), **word
    )
    Consent.objects.create(athlete=child, grantor_role="guardian", given_on=day + timedelta(days=6), **word)
    assert exported(tmp_path, "apart", child) == []  # the one was over before the other was given
    later = day + timedelta(days=8)
    Consent.objects.create(athlete=child, grantor_role="self", given_on=later, **word)
    (line,) = exported(tmp_path, "both", child)
    assert later.isoformat() in line and day.isoformat() not in line


@pytest.mark.django_db
def test_words_end_on_the_eighteenth_birthday_and_not_days_before_it() -> None:
    squad = stored.squad()
    today = stored.TODAY
    almost = stored.athletes(["a1"], squad, today - timedelta(days=18 * 365))[0]
    of_age = stored.athletes(["a2"], squad, today.replace(year=today.year - 18))[0]
    for row in (almost, of_age):
        Consent.objects.create(athlete=row, grantee_role="medical", data_class="level", purpose="medical",
                               grantor_role="both", given_on=stored.YESTERDAY)  # fmt: skip
        stored.login("guardian", None, [row])
    assert consents.end_those_of_minors(today, stored.NOW) == 2  # one word, one guardian's role
    assert [len(consents.live_words(row.pk, today)) for row in (almost, of_age)] == [1, 0]
    assert Consent.objects.get(ends__isnull=False).athlete == of_age
    assert list(almost.people.filter(role="guardian").values_list("athlete_id", flat=True)) == [almost.pk]
    assert not of_age.people.filter(role="guardian").exists()


@pytest.mark.django_db
def test_several_are_erased_at_once_and_each_has_a_line_in_the_ledger(tmp_path: Path, settings: Any) -> None:
    settings.TENPADS_ERASURES = tmp_path / "kept" / "erasures.jsonl"
    one, two, stays = stored.athletes(["zz1", "zz2", "zz3"], stored.squad())
    erase.erase_these([one.pk, two.pk])
    assert list(Athlete.objects.values_list("pk", flat=True)) == [stays.pk]
    lines = [json.loads(line) for line in settings.TENPADS_ERASURES.read_text().splitlines()]
    assert [line["subject"] for line in lines] == [one.pk, two.pk] and "zz" not in str(lines)
    assert settings.TENPADS_ERASURES.stat().st_mode & 0o777 == 0o600


def test_a_log_of_queries_shows_the_statement_without_its_scope() -> None:
    for scope in (Scope(), Scope({1, 2}, 7), Scope(everybody=True), Scope({1}, asked=("SELECT id FROM x", []))):
        with row_scope.of(scope):
            assert row_scope.asked(row_scope.before("SELECT 'a; b' WHERE 1", None)[0]) == "SELECT 'a; b' WHERE 1"
    assert row_scope.asked("SELECT 1; SET LOCAL x") == "SELECT 1; SET LOCAL x" and row_scope.asked(None) is None
