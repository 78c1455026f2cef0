"""Which passwords are taken, and how they are kept."""

from __future__ import annotations

from typing import Any

import pytest
from allauth.mfa.models import Authenticator
from argon2 import extract_parameters
from argon2.low_level import Type
from django.contrib.auth.hashers import identify_hasher, make_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.test import Client

from athletes.records.models import Account, SignedIn
from athletes.records.passwords import make_blocked, rules
from coaching.usecases import accounts
from tests import stored

GOOD = "a quiet orange lamp post"


def wrong(password: str, account: Account | None = None) -> list[str | None]:
    """Codes of what is wrong with it; none where it is taken."""
    try:
        validate_password(password, account)
    except ValidationError as refused:
        return [one.code for one in refused.error_list]
    return []


def test_the_list_is_what_its_maker_makes_and_long_enough_to_matter() -> None:
    """At least 3,000 entries of the length asked for (OWASP ASVS 5.0, 6.2.4, read as: that match the policy)."""
    made = make_blocked.entries()
    assert rules.blocked() == frozenset(made)
    assert sum(len(entry) >= rules.ALONE for entry in made) >= 3000


@pytest.mark.parametrize(
    "password",
    [
        "passwordpassword", "P4ssw0rd-P4ssw0rd!", "qwertyuiopasdfghjkl", "climbingclimbing", "Climbing Boulder Rock",
        "aaaaaaaaaaaaaaaaaaaa", "abababababababababab", "1234567890123456", "correct horse battery staple",
        "This Is My Password", "summit 2026 2027 2028", "tenpads tenpads 99", "-?-?-?-?-?-?-?-?-?",
    ],
)  # fmt: skip
def test_what_anybody_would_try_is_refused(password: str) -> None:
    assert wrong(password)[:1] == ["guessable"]


@pytest.mark.parametrize(
    "password",
    [GOOD, "Стихи о пустой лодке", "ni hao 你好 moth window", "llllamp is on the moor", "x9!x9!kettle bridge"],
)
def test_any_characters_are_taken(password: str) -> None:
    """No rule asks for capitals, digits or signs (NIST SP 800-63B-4, 3.1.1.2, from memory)."""
    assert wrong(password) == []


@pytest.mark.parametrize(
    ("length", "said"), [(14, ["short"]), (15, []), (64, []), (256, []), (257, ["long"])]
)
def test_lengths(length: int, said: list[str]) -> None:
    assert wrong((GOOD.replace(" ", "") * 20)[:length]) == said


@pytest.mark.django_db
def test_eight_do_beside_a_second_factor() -> None:
    squad = stored.squad()
    coach, athlete = stored.login("head-coach", squad), stored.login("athlete", None, stored.athletes(["a1"], squad))
    assert wrong("moth lid", coach) == [] and wrong("moth lid", athlete) == ["short"]
    assert wrong("moth li", coach) == ["short"]
    assert "password_too_common" in wrong("12345678", coach)  # on the framework's list of common ones


@pytest.mark.django_db
def test_names_of_person_squad_and_club_say_nothing() -> None:
    squad = stored.squad("lindenhall")
    account = stored.login("athlete", squad, stored.athletes(["a1"], squad))
    account.person.name = "Marigold Featherstone"
    for password in ("Featherstone 2026!", "lindenhall-lindenhall", "marigold lindenhall 7"):
        assert wrong(password, account) == ["guessable"]
        assert wrong(password.replace("Feather", "Kettle").replace("linden", "kettle")) == []  # nobody's name
    assert wrong("marigold in a kettle lid", account) == []


def test_it_is_hashed_with_argon2id_at_19_mib_two_passes_one_lane() -> None:
    found = extract_parameters(make_password(GOOD).removeprefix("argon2"))
    assert (found.type, found.memory_cost, found.time_cost, found.parallelism) == (Type.ID, 19456, 2, 1)


@pytest.mark.django_db
def test_a_hash_of_other_numbers_is_made_anew_at_the_next_sign_in() -> None:
    from django.contrib.auth.hashers import Argon2PasswordHasher

    account = stored.login("athlete", None, stored.athletes(["a1"], stored.squad()))
    dear = Argon2PasswordHasher()
    dear.memory_cost, dear.parallelism = 8192, 4
    Account.objects.update(password=dear.encode(GOOD, dear.salt()))
    assert Client().post("/login", {"username": account.username, "password": GOOD}).status_code == 302
    account.refresh_from_db()
    assert not identify_hasher(account.password).must_update(account.password)


def changed(client: Client, old: str, new: str) -> Any:
    return client.post("/account/password", {"old": old, "new": new})


@pytest.mark.django_db
def test_it_is_changed_by_whoever_knows_it_and_other_sessions_end() -> None:
    account = stored.login("athlete", None, stored.athletes(["a1"], stored.squad()))
    account.set_password(GOOD)
    account.save()
    here, there = Client(), Client()
    for client in (here, there):
        client.post("/login", {"username": account.username, "password": GOOD})
    before = here.cookies["sessionid"].value
    assert changed(here, "not this one at all", "the moss under a bridge").status_code == 422
    assert changed(here, GOOD, "passwordpassword").status_code == 422
    assert there.get("/account").status_code == 200
    assert changed(here, GOOD, "the moss under a bridge").status_code == 302
    assert SignedIn.objects.filter(account=account).count() == 1
    assert here.get("/account").status_code == 200 and here.cookies["sessionid"].value != before
    assert there.get("/account").status_code == 404
    account.refresh_from_db()
    assert account.check_password("the moss under a bridge") and not account.short_password


@pytest.mark.django_db
def test_a_short_one_keeps_its_second_factor() -> None:
    account = stored.login("athlete", None, stored.athletes(["a1"], stored.squad()))
    Authenticator.objects.create(user=account, type="totp", data={"secret": ""})
    account.set_password(GOOD)
    account.save()
    client = Client()
    client.force_login(account)
    assert changed(client, GOOD, "moth lid").status_code == 302
    account.refresh_from_db()
    assert account.short_password and not accounts.may_drop_factor(account, 0)
    assert accounts.may_drop_factor(account, 1)
