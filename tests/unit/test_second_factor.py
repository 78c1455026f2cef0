"""The second factor: who needs one, what is open without, and that a code opens once."""

from __future__ import annotations

import base64
import hashlib
import hmac
import struct
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from allauth.mfa.models import Authenticator
from allauth.mfa.recovery_codes.internal.auth import RecoveryCodes
from allauth.mfa.utils import encrypt
from cryptography.fernet import InvalidToken
from django.conf import settings
from django.core.cache import cache
from django.test import Client, override_settings
from django.urls import get_resolver

from athletes.records import choices
from athletes.records.models import Account
from coaching.config import door
from coaching.config.second_factor import Factors
from coaching.usecases import accounts, api_tokens
from tests import api_cast, stored

pytestmark = pytest.mark.django_db
PASSWORD = "a quiet orange lamp post"
SECRET = base64.b32encode(b"12345678901234567890").decode()


@pytest.fixture(autouse=True)
def _now() -> Any:
    cache.clear()  # the library notes there, too, which codes were used, by the key of the account
    with time_machine.travel(stored.NOW, tick=False) as clock:
        yield clock


def code(at: Any = stored.NOW, secret: str = SECRET) -> str:
    """RFC 6238 over RFC 4226, 5.3: written here once more, from the standard and no library."""
    mac = hmac.new(base64.b32decode(secret), struct.pack(">Q", int(at.timestamp()) // 30), hashlib.sha1).digest()
    start = mac[-1] & 15
    return f"{(struct.unpack('>I', mac[start : start + 4])[0] & 0x7FFFFFFF) % 10**6:06}"


def coach(second: bool = True) -> Account:
    account = stored.login("head-coach", stored.squad(), second=second)
    account.set_password(PASSWORD)
    account.save()
    Authenticator.objects.update(data={"secret": encrypt(SECRET)})
    return account


def password_in(account: Account, client: Client | None = None, **where: str) -> tuple[Client, Any]:
    client = client or Client(**where)
    return client, client.post("/login", {"username": account.username, "password": PASSWORD})


def test_a_password_alone_leads_to_the_second_step_and_opens_nothing() -> None:
    client, answer = password_in(coach())
    assert (answer.status_code, answer["Location"]) == (302, "/login/code")
    assert client.get("/morning").status_code == 404 == client.get("/account").status_code
    assert client.post("/login/code", {"code": "000000"}).status_code == 422
    assert client.get("/morning").status_code == 404


def test_the_code_of_the_moment_opens_and_the_session_gets_a_new_key() -> None:
    client, _ = password_in(coach())
    before = client.cookies["sessionid"].value
    assert client.post("/login/code", {"code": code()})["Location"] == "/"
    assert client.get("/morning").status_code == 200
    assert client.cookies["sessionid"].value != before


@pytest.mark.parametrize(("steps", "status"), [(-2, 422), (-1, 302), (1, 302), (2, 422)])
def test_a_code_is_good_half_a_minute_around_its_time(steps: int, status: int) -> None:
    """RFC 6238, 5.2 asks for at most one step of delay; one more for a clock that runs fast is ours."""
    client, _ = password_in(coach())
    assert client.post("/login/code", {"code": code(stored.NOW + steps * timedelta(seconds=30))}).status_code == status


def test_a_code_opens_once() -> None:
    """RFC 6238, 5.2: a code that was taken is not taken a second time, nor by another process."""
    account = coach()
    first, _ = password_in(account)
    second, _ = password_in(account)
    assert first.post("/login/code", {"code": code()}).status_code == 302
    cache.clear()
    assert second.post("/login/code", {"code": code()}).status_code == 422
    assert second.get("/morning").status_code == 404


def test_a_recovery_code_opens_once() -> None:
    account = coach()
    codes = RecoveryCodes.activate(account).generate_codes()
    for n, status in ((0, 302), (0, 422), (1, 302)):
        client, _ = password_in(account)
        assert client.post("/login/code", {"code": codes[n]}).status_code == status
    assert len(set(codes)) == 10


def pages() -> list[str]:
    names = [p.name for r in get_resolver().url_patterns for p in getattr(r, "url_patterns", [r])]
    return sorted(set(filter(None, names)))


@pytest.mark.parametrize("role", choices.SECOND_FACTOR_ROLES)
def test_without_one_such_a_role_finds_only_the_pages_to_set_it_up(role: str) -> None:
    account = stored.login(role, stored.squad(), second=False)
    client = Client()
    client.force_login(account)
    for path in ("/morning", "/events", "/athletes/a1", "/account", "/people", "/account/tokens", "/account/password"):
        answer = client.get(path)
        assert (answer.status_code, answer["Location"]) == (302, "/account/second-factor"), path
    assert client.get("/api/v1/athletes").status_code == 403
    assert client.post("/people", {"act": "invite", "role": "head-coach", "name": "n"}).status_code == 302
    assert client.get("/account/second-factor").status_code == 200
    assert "due" in client.get("/account/second-factor").context and client.get("/login").status_code == 200
    assert client.get("/account/second-factor/app")["Location"].startswith("/account/again")


def test_what_is_open_without_one_is_a_short_list_of_addresses_that_exist() -> None:
    assert len(door.SETTING_UP) == 4 and set(pages()) >= door.SETTING_UP | door.HELD


def test_a_token_of_such_an_account_opens_nothing_either() -> None:
    account = stored.login("head-coach", stored.squad(), second=False)
    text = api_tokens.make_token(account.person.code, ["read"], 1)
    asked = {"headers": {"authorization": f"Bearer {text}"}}
    assert Client().get("/api/v1/athletes", **asked).status_code == 403
    Authenticator.objects.create(user=account, type="totp", data={"secret": ""})
    assert Client().get("/api/v1/athletes", **asked).status_code == 200


@pytest.mark.parametrize("role", ["athlete", "guardian", "manager"])
def test_others_may_do_without(role: str) -> None:
    client = api_cast.cast(role)
    assert client.get("/account").status_code == 200


def test_invented_people_need_none_on_this_machine_and_do_not_exist_elsewhere() -> None:
    account = coach(second=False)
    Account.objects.update(demo=True)
    here, _ = password_in(account)
    assert here.get("/morning").status_code == 200
    there, answer = password_in(account, REMOTE_ADDR="192.0.2.7")
    assert answer.status_code == 422 and there.get("/morning").status_code == 404


def in_with_code() -> tuple[Client, Account]:
    account = coach()
    client, _ = password_in(account)
    client.post("/login/code", {"code": code()})
    return client, account


def test_how_one_signs_in_is_changed_only_after_the_password_once_more() -> None:
    client, _ = in_with_code()
    for path in ("app/remove", "codes/new", "passkey"):
        answer = client.get(f"/account/second-factor/{path}")
        assert answer["Location"].startswith("/account/again?next="), path
    kept = client.post("/account/second-factor/codes/new", {"typed": "never kept"})
    assert kept.status_code == 302 and "never kept" not in str(dict(client.session.items()))
    assert client.post("/account/again", {"password": "wrong wrong wrong wrong"}).status_code == 422
    assert client.post("/account/again", {"password": PASSWORD}).status_code == 302
    assert client.get("/account/second-factor/codes/new").status_code == 200


def test_the_last_one_stays_where_the_role_asks_for_it() -> None:
    client, account = in_with_code()
    client.post("/account/again", {"password": PASSWORD})
    assert client.post("/account/second-factor/app/remove").status_code == 422
    assert Authenticator.objects.filter(user=account, type="totp").exists()
    key = Authenticator.objects.create(user=account, type="webauthn", data={"name": "k", "credential": {}})
    assert accounts.may_drop_factor(account, 1)
    assert client.post("/account/second-factor/app/remove").status_code == 302
    assert client.post(f"/account/second-factor/passkeys/{key.pk}").status_code == 302
    assert Authenticator.objects.filter(user=account, type="webauthn").exists()


def test_nobody_takes_away_another_persons_passkey() -> None:
    client, _ = in_with_code()
    client.post("/account/again", {"password": PASSWORD})
    other = stored.login("medical", None)
    key = Authenticator.objects.create(user=other, type="webauthn", data={"name": "k", "credential": {}})
    foreign, nobody = (client.post(f"/account/second-factor/passkeys/{pk}") for pk in (key.pk, key.pk + 1))
    assert (foreign.status_code, foreign.content) == (404, nobody.content)
    assert Authenticator.objects.filter(pk=key.pk).exists()


def test_setting_it_up_opens_the_rest_and_shows_the_codes_once() -> None:
    client, _ = password_in(coach(second=False))
    client.post("/account/again", {"password": PASSWORD})
    secret = client.get("/account/second-factor/app").context["form"].secret
    assert client.post("/account/second-factor/app", {"code": "12"}).status_code == 422
    taken = client.post("/account/second-factor/app", {"code": code(secret=secret)})
    assert taken["Location"] == "/account/second-factor/codes"
    assert client.get("/morning").status_code == 200
    codes = client.get("/account/second-factor/codes").context["unused_codes"]
    assert len(codes) == 10 and codes[0].encode() not in client.get("/account/second-factor/codes").content


def test_secrets_are_kept_encrypted_and_outlive_a_change_of_the_key() -> None:
    kept = Factors().encrypt(SECRET)
    assert SECRET not in kept
    former = settings.SECRET_KEY
    with override_settings(SECRET_KEY="another key", SECRET_KEY_FALLBACKS=[]), pytest.raises(InvalidToken):
        Factors().decrypt(kept)
    with override_settings(SECRET_KEY="another key", SECRET_KEY_FALLBACKS=[former]):
        assert Factors().decrypt(kept) == SECRET


@pytest.mark.parametrize(
    "sent",
    ["", "{", "[]", "null", '{"id": "x"}', '{"id":"AA","rawId":"AA","type":"public-key","response":{}}', "é\x00"],
)
def test_a_made_up_passkey_is_refused_whatever_it_is(sent: str) -> None:
    client = Client()
    asked = client.get("/login/passkey", headers={"accept": "application/json"}).json()
    options = asked["request_options"]["publicKey"]
    assert options["userVerification"] == "required" and options.get("allowCredentials", []) == []
    answer = client.post("/login/passkey", {"credential": sent})
    assert (answer.status_code, answer["Location"]) == (302, "/login")
    assert client.get("/account").status_code == 404
