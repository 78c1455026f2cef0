"""Who may see what of whom. What may not be seen is not found, and answers as what does not exist."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from athletes.records import access, choices, queries
from athletes.records.errors import NotFound
from athletes.records.models import Account, Athlete, Club, Consent, Membership, Person, Role, Squad
from athletes.records.viewer import Viewer

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 11)
DAY = timedelta(days=1)
EVERYTHING = frozenset(choices.DATA_CLASSES)


def squad(code: str) -> Squad:
    club, _ = Club.objects.get_or_create(name="Club")
    return Squad.objects.create(club=club, code=code, name=code)


def athlete(code: str, *squads: Squad, born: date | None = date(2003, 1, 1)) -> Athlete:
    row = Athlete.objects.create(code=code, name=code.upper(), birth_date=born)
    for one in squads:
        Membership.objects.create(squad=one, athlete=row)
    return row


def viewer(role: str, of: Squad | None = None, over: Athlete | None = None, today: date = TODAY) -> Viewer:
    n = Person.objects.count()
    person = Person.objects.create(code=f"p{n}", name=f"P{n}")
    Role.objects.create(person=person, role=role, squad=of, athlete=over)
    return access.viewer_for(Account.objects.create(username=f"u{n}", person=person), today)


def consent(who: Athlete, role: str = "head-coach", **changes: object) -> Consent:
    purpose = access.PURPOSE_OF_ROLE.get(role, "coaching")
    given = {"data_class": "level", "purpose": purpose, "given_on": TODAY - DAY}
    back = changes.pop("withdrawn_on", None)
    told = {"athlete": who, "grantee_role": role, **given, **changes}
    word = Consent.objects.create(**told)
    if back:
        Consent.objects.create(**{**told, "given_on": back, "until": None}, ends=word)
    return word


def shared(who: Viewer, row: Athlete) -> frozenset[str]:
    return access.shared_classes(who, [row.id])[row.id]


def test_an_athlete_sees_everything_of_their_own_and_nothing_of_others() -> None:
    s = squad("s")
    me, other = athlete("a1", s), athlete("a2", s)
    mine = viewer("athlete", s, me)
    assert shared(mine, me) == EVERYTHING and shared(mine, other) == frozenset()
    assert access.own_athlete(mine).code == "a1"


def test_what_does_not_say_that_it_is_an_open_account_opens_nothing() -> None:
    """Deny by default (OWASP ASVS 5.0, 8.2, from memory): silence about being open is no yes."""
    s = squad("s")
    mine = athlete("a1", s)
    person = viewer("athlete", s, mine).person_id
    assert access.viewer_for(SimpleNamespace(pk=1, person_id=person, is_active=True), TODAY).grants
    for silent in (SimpleNamespace(pk=1, person_id=person), SimpleNamespace(is_active=True), object(), None):
        who = access.viewer_for(silent, TODAY)
        assert (who.person_id, who.grants) == (None, ()) and shared(who, mine) == frozenset()


def test_the_operator_sees_everything() -> None:
    assert shared(access.OPERATOR(TODAY), athlete("a1")) == EVERYTHING


@pytest.mark.parametrize("role", sorted(access.PURPOSE_OF_ROLE))
def test_a_role_sees_what_live_consent_shares_with_it_and_no_more(role: str) -> None:
    s = squad("s")
    a1, a2 = athlete("a1", s), athlete("a2", s)
    who = viewer(role, s)
    consent(a1, role)
    consent(a1, role, data_class="damage")
    assert shared(who, a1) == {"level", "damage"} and shared(who, a2) == frozenset()


@pytest.mark.parametrize(
    ("change", "seen"),
    [
        ({"given_on": TODAY}, True),
        ({"given_on": TODAY + DAY}, False),
        ({"until": TODAY}, True),
        ({"until": TODAY - DAY}, False),
        ({"withdrawn_on": TODAY + DAY}, True),
        ({"withdrawn_on": TODAY}, False),
        ({"withdrawn_on": TODAY - DAY}, False),
        ({"purpose": "reporting"}, False),
        ({"given_on": TODAY - 365 * DAY, "until": None}, True),
        ({"given_on": TODAY - 366 * DAY, "until": TODAY + DAY}, False),  # twelve months at the most
        ({"grantor_role": "self"}, True),
        ({"grantor_role": "guardian"}, False),  # of a grown athlete
        ({"purpose": "medical"}, False),
        ({"grantee_role": "assistant"}, False),
    ],
)
def test_consent_lives_from_its_day_to_its_last_for_its_role_and_purpose(
    change: dict[str, object], seen: bool
) -> None:
    s = squad("s")
    row = athlete("a1", s)
    consent(row, **change)
    assert ("level" in shared(viewer("head-coach", s), row)) is seen


def test_a_role_in_another_squad_sees_nothing() -> None:
    row = athlete("a1", squad("s"))
    consent(row)
    assert shared(viewer("head-coach", squad("other")), row) == frozenset()
    assert shared(viewer("head-coach", None), row) == frozenset()


def test_roles_of_two_squads_do_not_mix() -> None:
    """A medical of one squad who coaches another sees the first squad's athletes as a medical only."""
    first, second = squad("first"), squad("second")
    row = athlete("a1", first)
    consent(row, "head-coach")
    who = viewer("medical", first)
    Role.objects.create(person_id=who.person_id, role="head-coach", squad=second)
    again = access.viewer_for(Account.objects.get(person_id=who.person_id), TODAY)
    assert shared(again, row) == frozenset()


def test_support_sees_nothing_even_with_a_consent_row() -> None:
    s = squad("s")
    row = athlete("a1", s)
    consent(row, "support")
    assert shared(viewer("support", s), row) == frozenset()


@pytest.mark.parametrize(
    ("born", "today", "seen"),
    [
        (date(2009, 3, 12), TODAY, True),
        (date(2009, 3, 11), TODAY, False),  # 18 today
        (date(2009, 3, 12), TODAY + DAY, False),
        (None, TODAY, False),
    ],
)
def test_a_guardian_sees_the_ward_until_the_eighteenth_birthday(
    born: date | None, today: date, seen: bool
) -> None:
    ward = athlete("a1", born=born)
    who = viewer("guardian", None, ward, today)
    assert (shared(who, ward) == EVERYTHING) is seen and bool(shared(who, ward)) is seen


def test_foreign_and_nonexistent_answer_alike() -> None:
    s = squad("s")
    me, other = athlete("a1", s), athlete("a2", s)
    mine = viewer("athlete", s, me)
    for code in (other.code, "nobody"):
        with pytest.raises(NotFound) as error:
            access.athlete_by_code(mine, code, "level")
        assert str(error.value) == ""


def test_a_class_that_is_not_shared_is_not_found() -> None:
    s = squad("s")
    row = athlete("a1", s)
    consent(row)
    who = viewer("head-coach", s)
    assert access.athlete_by_code(who, "a1", "level").shared == {"level"}
    with pytest.raises(NotFound):
        access.athlete_by_code(who, "a1", "damage")
    with pytest.raises(NotFound):
        queries.open_episodes(who, row.id, TODAY)
    with pytest.raises(NotFound):
        queries.checkin_of_day(who, row.id, TODAY)


def test_only_the_athlete_and_a_minors_guardian_may_check_in() -> None:
    s = squad("s")
    grown, minor = athlete("a1", s), athlete("a2", s, born=date(2012, 1, 1))
    for row in (grown, minor):
        consent(row)
    coach = viewer("head-coach", s)
    assert not access.may_check_in(coach, access.athlete_by_code(coach, "a1"))
    for who, code in ((viewer("athlete", s, grown), "a1"), (viewer("guardian", None, minor), "a2")):
        assert access.may_check_in(who, access.athlete_by_code(who, code))


@pytest.mark.parametrize("change", [{"is_active": False}, {"person": None}])
def test_an_account_that_is_closed_or_nobodys_has_no_roles(change: dict[str, object]) -> None:
    person = Person.objects.create(code="p", name="P")
    Role.objects.create(person=person, role="athlete", athlete=athlete("a1"))
    account = Account.objects.create(**{"username": "u", "person": person, **change})
    assert access.viewer_for(account, TODAY).grants == ()


def test_the_roles_are_read_in_one_query() -> None:
    who = viewer("head-coach", squad("s"))
    account = Account.objects.get(person_id=who.person_id)
    with CaptureQueriesContext(connection) as asked:
        access.viewer_for(account, TODAY)
    assert len(asked) == 1


def test_the_number_of_queries_does_not_grow_with_the_squad() -> None:
    counts = []
    for code, size in (("small", 2), ("large", 40)):
        s = squad(code)
        for n in range(size):
            consent(athlete(f"{code}{n}", s))
        who = viewer("head-coach", s)
        with CaptureQueriesContext(connection) as asked:
            assert len(access.refs_visible(who)) == size
        counts.append(len(asked))
    assert counts[0] == counts[1] <= 4


def test_members_and_squads_are_those_of_the_viewers_own_roles() -> None:
    first, second = squad("first"), squad("second")
    row = athlete("a1", first)
    athlete("a2", second)
    who = viewer("manager", first)
    assert [s.code for s in queries.squads_of(who)] == ["first"]
    assert queries.members(who, [first.id, second.id]) == {first.id: frozenset({row.id})}
