"""Links that let somebody in: good once, for a time, for one thing; and none of those that do not stand tells why."""

from __future__ import annotations

import re
from datetime import timedelta
from io import StringIO
from typing import Any
from urllib.parse import quote

import pytest
import time_machine
from allauth.mfa.models import Authenticator
from django.core.management import CommandError, call_command
from django.test import Client

from athletes.records.models import Account, ApiToken, Athlete, CheckIn, OneTimeLink, Person, Role, SignedIn, Squad
from coaching.usecases import api_tokens
from tests import stored

pytestmark = pytest.mark.django_db
PASSWORD = "a quiet orange lamp post"


@pytest.fixture(autouse=True)
def _now() -> Any:
    with time_machine.travel(stored.NOW, tick=False) as clock:
        yield clock


@pytest.fixture
def squad() -> Squad:
    return stored.squad()


def as_client(account: Account) -> Client:
    client = Client()
    client.force_login(account)
    return client


@pytest.fixture
def coach(squad: Squad) -> Client:
    return as_client(stored.login("head-coach", squad))


def link(answer: Any) -> str:
    assert answer.status_code == 200, answer.status_code
    return answer.context["made"].removeprefix("http://testserver")


def plain_page(client: Client) -> str:
    """The page of logins, with what is made anew for every answer taken out."""
    return re.sub(r'name="csrfmiddlewaretoken" value="\w+"', "", client.get("/people").content.decode())


def invited(coach: Client, role: str = "assistant", **more: Any) -> str:
    return link(coach.post("/people", {"act": "invite", "role": role, "name": "Ida Berg"} | more))


def opened(path: str) -> tuple[Client, Any]:
    client = Client()
    return client, client.get(path)


def joined(path: str, username: str = "ida", password: str = PASSWORD) -> Any:
    client, first = opened(path)
    assert first.status_code == 302, first.status_code
    return client.post(first["Location"], {"username": username, "password": password})


def test_a_coach_invites_and_the_invited_choose_name_and_password(coach: Client, squad: Squad) -> None:
    path = invited(coach)
    client, first = opened(path)
    assert (first["Location"], first["Referrer-Policy"]) == ("/join", "no-referrer")
    page = client.get("/join").content.decode()
    assert "Ida Berg" in page and "assistant coach" in page
    answer = client.post("/join", {"username": "ida", "password": PASSWORD})
    assert (answer.status_code, answer["Location"]) == (302, "/login")
    account = Account.objects.get(username="ida")
    assert account.check_password(PASSWORD) and not account.is_staff and not account.is_superuser
    assert [(r.role, r.squad_id, r.athlete_id) for r in account.person.roles.all()] == [("assistant", squad.id, None)]


def test_only_a_hash_of_it_is_kept(coach: Client) -> None:
    secret = invited(coach).rsplit("/", 1)[1].split("-", 1)[1]
    row = OneTimeLink.objects.get()
    assert len(secret) == 43 and secret not in str(vars(row)) and len(row.digest) == 64


def used(path: str) -> None:
    assert joined(path).status_code == 302


def revoked(path: str) -> None:
    OneTimeLink.objects.update(revoked_at=stored.NOW)


def too_old(path: str) -> None:
    OneTimeLink.objects.update(expires_at=stored.NOW)


def of_another_kind(path: str) -> None:
    OneTimeLink.objects.update(kind="reset", account=Account.objects.first())


@pytest.mark.parametrize("spoil", [used, revoked, too_old, of_another_kind])
def test_what_does_not_stand_looks_like_what_never_was(coach: Client, spoil: Any) -> None:
    path = invited(coach)
    half_way, _ = opened(path)
    spoil(path)
    never = opened("/join/000000000000-" + "A" * 43)[1]
    spoilt = opened(path)[1]
    assert (spoilt.status_code, spoilt.content) == (404, never.content)
    assert {k: v for k, v in spoilt.items()} == {k: v for k, v in never.items()}
    assert half_way.post("/join", {"username": "two", "password": PASSWORD}).status_code == 404
    assert not Account.objects.filter(username="two").exists()


@pytest.mark.parametrize(
    "text", ["x", "", "0" * 12 + "-" + "A" * 42, "é" * 12 + "-" + "A" * 43, "0" * 12 + "-" + "A" * 43 + "\n"]
)
def test_made_up_ones_are_not_found(coach: Client, text: str) -> None:
    assert opened(f"/join/{quote(text)}")[1].status_code == 404


def test_the_right_prefix_with_another_secret_opens_nothing(coach: Client) -> None:
    path = invited(coach)
    assert opened(path[:-1] + ("A" if path[-1] != "A" else "B"))[1].status_code == 404
    assert opened(path)[1].status_code == 302


def test_of_two_at_once_one_is_taken(coach: Client) -> None:
    path = invited(coach)
    first, second = opened(path)[0], opened(path)[0]
    assert first.post("/join", {"username": "one", "password": PASSWORD}).status_code == 302
    assert second.post("/join", {"username": "two", "password": PASSWORD}).status_code == 404
    assert Person.objects.filter(name="Ida Berg").count() == 1


def test_a_refused_password_or_name_uses_nothing_up(coach: Client) -> None:
    path = invited(coach)
    assert joined(path, password="passwordpassword").status_code == 422
    assert joined(path, username=Account.objects.first().username.upper()).status_code == 422
    assert joined(path, username="no spaces").status_code == 422
    assert not Person.objects.filter(name="Ida Berg").exists()
    assert joined(path).status_code == 302


def test_an_athlete_is_invited_beside_their_name_and_sees_themselves(coach: Client, squad: Squad) -> None:
    (row,) = stored.athletes(["a1"], squad)
    assert joined(link(coach.post("/people", {"act": f"invite a{row.id}"}))).status_code == 302
    client = Client()
    client.post("/login", {"username": "ida", "password": PASSWORD})
    assert client.get("/me/check-in").status_code == 200
    again = coach.post("/people", {"act": f"invite a{row.id}"})
    assert again.status_code == 422


def test_a_guardian_is_invited_for_a_minor_only(coach: Client, squad: Squad) -> None:
    minor, adult = stored.athletes(["a1"], squad, stored.MINOR)[0], stored.athletes(["a2"], squad)[0]
    of_adult = {"act": "invite", "role": "guardian", "name": "G", "key": f"a{adult.id}"}
    assert coach.post("/people", of_adult).status_code == 422
    joined(invited(coach, "guardian", key=f"a{minor.id}"))
    assert Role.objects.filter(role="guardian", athlete=minor, person__account__username="ida").exists()


def test_nobody_invites_into_another_squad_or_to_more_than_there_is(coach: Client) -> None:
    other = stored.squad("elsewhere")
    (foreign,) = stored.athletes(["a9"], other)
    for sent in (
        {"act": "invite", "role": "assistant", "name": "n", "squad": other.id},
        {"act": "invite", "role": "support", "name": "n"},
        {"act": "invite", "role": "athlete", "name": "n", "key": f"a{foreign.id}"},
        {"act": f"invite a{foreign.id}"}, {"act": f"reset a{foreign.id}"}, {"act": f"vouch a{foreign.id}"},
        {"act": "revoke 999"}, {"act": "reset p999"}, {"act": ""}, {},
    ):  # fmt: skip
        assert coach.post("/people", sent).status_code == 404, sent
    assert not OneTimeLink.objects.exists()


@pytest.mark.parametrize("role", ["assistant", "medical", "manager", "athlete"])
def test_others_invite_nobody_and_find_no_such_page(squad: Squad, role: str) -> None:
    over = stored.athletes(["a1"], squad) if role == "athlete" else ()
    client = as_client(stored.login(role, squad, over))
    assert client.get("/people").status_code == 404
    assert client.post("/people", {"act": "invite", "role": "head-coach", "name": "n"}).status_code == 404


def test_an_invitation_is_listed_and_ended(coach: Client) -> None:
    path = invited(coach)
    row = OneTimeLink.objects.get()
    assert b"Ida Berg" in coach.get("/people").content
    elsewhere = as_client(stored.login("head-coach", stored.squad("elsewhere")))
    assert elsewhere.post("/people", {"act": f"revoke {row.pk}"}).status_code == 404
    assert coach.post("/people", {"act": f"revoke {row.pk}"}).status_code == 302
    assert opened(path)[1].status_code == 404


def test_the_page_tells_nothing_of_anybodys_records(coach: Client, squad: Squad) -> None:
    """Names and logins, alike to the byte whether somebody shares or not."""
    rows = stored.athletes(["a1", "a2"], squad)
    before = plain_page(coach)
    assert "Athlete a1" in before and "Athlete a2" in before
    stored.share(rows[:1])
    assert plain_page(coach) == before


# --- who could have opened it


def test_whoever_makes_the_link_reads_nothing_with_it_that_is_not_shared_with_them(coach: Client, squad: Squad) -> None:
    """A coach who opens the invitation of a guardian, a medical person or an athlete with records meets one page."""
    (minor,) = stored.athletes(["a1"], squad, stored.MINOR)
    CheckIn.objects.create(athlete=minor, local_date=stored.YESTERDAY, reserve=5)
    asked = {"act": "invite", "name": "N", "role": "guardian", "key": f"a{minor.id}"}
    paths = {
        "guardian": link(coach.post("/people", asked)),
        "medical": invited(coach, "medical"),
        "athlete": link(coach.post("/people", {"act": f"invite a{minor.id}"})),
    }
    second = as_client(stored.login("head-coach", squad))
    for name, path in paths.items():
        joined(path, username=name)
        client = Client()
        client.post("/login", {"username": name, "password": PASSWORD})
        for page in ("/me/check-in", "/morning", "/account"):
            assert client.get(page)["Location"] == "/account/held", (name, page)
        assert b"set through a link" in client.get("/account/held").content
        person = Account.objects.get(username=name).person
        key = f"a{minor.id}" if name == "athlete" else f"p{person.pk}"
        assert coach.post("/people", {"act": f"vouch {key}"}).status_code == 404
        assert second.post("/people", {"act": f"vouch {key}"}).status_code == 302
        assert client.get("/account").get("Location") in (None, "/account/second-factor")


@pytest.mark.parametrize("role", ["assistant", "manager", "head-coach"])
def test_others_come_in_at_once(coach: Client, role: str) -> None:
    """They see no more than whoever invites them."""
    joined(invited(coach, role))
    assert Account.objects.get(username="ida").vouch_needed_since is None


def test_nobody_vouches_for_whom_the_operator_lets_in(squad: Squad) -> None:
    joined(said("invite", "medical", "--name", "N", "--squad", squad.code))
    assert Account.objects.get(username="ida").vouch_needed_since is None


# --- new passwords


def athlete_with_login(squad: Squad, born: Any = stored.ADULT) -> tuple[Account, Athlete]:
    (row,) = stored.athletes(["a1"], squad, born)
    account = stored.login("athlete", squad, [row])
    account.set_password("the moss under a bridge")
    account.save()
    return account, row


def reset_by(client: Client, row: Athlete) -> str:
    return link(client.post("/people", {"act": f"reset a{row.id}"}))


def set_anew(path: str) -> Any:
    client, first = opened(path)
    page = client.get(first["Location"])
    assert page.status_code == 200
    return client.post(first["Location"], {"password": PASSWORD})


def test_a_link_for_a_new_password_signs_nobody_in_and_ends_everything(coach: Client, squad: Squad) -> None:
    account, row = athlete_with_login(squad)
    inside = as_client(account)
    token = api_tokens.make_own(account, "t", ["read"], 9)
    path = reset_by(coach, row)
    client, first = opened(path)
    answer = client.post(first["Location"], {"password": PASSWORD})
    assert answer["Location"] == "/login" and client.get("/account").status_code == 404
    assert inside.get("/account").status_code == 404 and not SignedIn.objects.filter(account=account).exists()
    assert ApiToken.objects.get().revoked_at is not None
    asked = {"headers": {"authorization": f"Bearer {token}"}}
    assert Client().get("/api/v1/athletes/a1", **asked).status_code == 404
    assert opened(path)[1].status_code == 404


def test_one_that_is_used_ends_the_others_of_the_login(coach: Client, squad: Squad) -> None:
    _, row = athlete_with_login(squad)
    first, second = reset_by(coach, row), reset_by(coach, row)
    assert set_anew(first).status_code == 302
    assert opened(second)[1].status_code == 404


def test_a_closed_login_has_no_link_that_stands(coach: Client, squad: Squad) -> None:
    account, row = athlete_with_login(squad)
    path = reset_by(coach, row)
    said("close_login", account.username)
    assert opened(path)[1].status_code == 404


def entered(account: Account) -> Client:
    client = Client()
    assert client.post("/login", {"username": account.username, "password": PASSWORD}).status_code == 302
    return client


def test_whoever_made_the_link_reads_nothing_with_it(coach: Client, squad: Squad) -> None:
    """A coach, or a guardian, who uses the link themselves meets one page, until a second person has vouched."""
    account, row = athlete_with_login(squad)
    set_anew(reset_by(coach, row))
    client = entered(account)
    for path in ("/me/check-in", "/me/today", "/account", "/account/second-factor", "/account/tokens"):
        answer = client.get(path)
        assert (answer.status_code, answer["Location"]) == (302, "/account/held"), path
    assert client.get("/api/v1/athletes/a1").status_code == 403
    assert client.get("/account/held").status_code == 200
    assert coach.post("/people", {"act": f"vouch a{row.id}"}).status_code == 404
    second = as_client(stored.login("head-coach", squad))
    assert second.post("/people", {"act": f"vouch a{row.id}"}).status_code == 302
    assert client.get("/me/check-in").status_code == 200


def test_a_guardian_helps_a_ward_and_the_coach_vouches(coach: Client, squad: Squad) -> None:
    account, row = athlete_with_login(squad, stored.MINOR)
    guardian = as_client(stored.login("guardian", None, [row]))
    page = guardian.get("/people")
    assert [k.name for k, *_ in page.context["known"]] == ["Athlete a1"] and not page.context["squads"]
    set_anew(reset_by(guardian, row))
    assert guardian.post("/people", {"act": f"vouch a{row.id}"}).status_code == 404
    assert entered(account).get("/me/today")["Location"] == "/account/held"
    assert coach.post("/people", {"act": f"vouch a{row.id}"}).status_code == 302
    assert entered(account).get("/me/today").status_code == 200


def test_a_guardian_of_an_adult_helps_no_more(squad: Squad) -> None:
    _, row = athlete_with_login(squad)
    guardian = as_client(stored.login("guardian", None, [row]))
    assert guardian.get("/people").status_code == 404 and b"/people" not in guardian.get("/account").content
    assert guardian.post("/people", {"act": f"reset a{row.id}"}).status_code == 404


def test_a_second_factor_stays_through_it_and_nobody_has_to_vouch(coach: Client, squad: Squad) -> None:
    account, row = athlete_with_login(squad)
    Authenticator.objects.create(user=account, type="totp", data={"secret": ""})
    set_anew(reset_by(coach, row))
    account.refresh_from_db()
    assert account.vouch_needed_since is None
    answer = Client().post("/login", {"username": account.username, "password": PASSWORD})
    assert answer["Location"] == "/login/code"


def test_nobody_makes_a_link_for_themselves(coach: Client) -> None:
    own = Account.objects.get(person__roles__role="head-coach")
    assert coach.post("/people", {"act": f"reset p{own.person_id}"}).status_code == 404


# --- from the command line


def said(*words: str) -> str:
    out = StringIO()
    call_command(*words, stdout=out)
    return out.getvalue().strip()


def test_the_operator_invites_every_role_and_the_first_coach(squad: Squad) -> None:
    joined(said("invite", "head-coach", "--name", "Ida Berg", "--squad", squad.code))
    assert Role.objects.get(person__account__username="ida").role == "head-coach"
    joined(said("invite", "support", "--name", "Sam", "--address", ""), username="sam")
    assert Role.objects.get(person__account__username="sam").squad_id is None
    unnamed = ["manager", "--name", "", "--squad", squad.code]
    for wrong in (["manager", "--name", "n"], ["athlete", "--name", "n"], unnamed):
        with pytest.raises(CommandError):
            said("invite", *wrong)


def test_the_operators_link_needs_no_vouching_and_lost_factors_go(squad: Squad) -> None:
    account, _ = athlete_with_login(squad)
    Authenticator.objects.create(user=account, type="totp", data={"secret": ""})
    inside = as_client(account)
    set_anew(said("new_password", account.username, "--lost-factors"))
    assert not Authenticator.objects.exists() and inside.get("/account").status_code == 404
    assert entered(account).get("/me/today").status_code == 200


def test_the_operator_vouches_and_closes(coach: Client, squad: Squad) -> None:
    account, row = athlete_with_login(squad)
    assert "Nobody has to" in said("vouch", account.username)
    set_anew(reset_by(coach, row))
    assert "open again" in said("vouch", account.username)
    assert entered(account).get("/me/today").status_code == 200
    said("close_login", account.username)
    assert Client().post("/login", {"username": account.username, "password": PASSWORD}).status_code == 422


def test_a_link_ends_by_itself(coach: Client, squad: Squad, _now: Any) -> None:
    _, row = athlete_with_login(squad)
    reset, join = reset_by(coach, row), invited(coach)
    _now.shift(timedelta(hours=24, seconds=-1))
    assert opened(reset)[1].status_code == 302
    _now.shift(timedelta(seconds=1))
    assert opened(reset)[1].status_code == 404 and opened(join)[1].status_code == 302
    _now.shift(timedelta(days=6))
    assert opened(join)[1].status_code == 404
