"""What every answer says to the browser: pages, files, redirects and every kind of error, signed in and not.

Names and values as the OWASP Secure Headers Project lists them (from memory); what the policy of content allows is
judged by its own words (CSP level 3). Planted bugs: a policy that lets inline scripts in, and the middleware left out.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from typing import Any

import pytest
from django.conf import settings
from django.test import Client, override_settings
from django.urls import path

from coaching.config import environment
from tests import counting, stored
from tests.contract.test_door import ADDRESSES

YEAR_S = 31_536_000
FIXED = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": ("same-origin", "no-referrer"),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Strict-Transport-Security": f"max-age={YEAR_S}; includeSubDomains",
}
CLOSED = {"default-src": "'none'", "base-uri": "'none'", "frame-ancestors": "'none'", "form-action": "'self'"}
OWN_ONLY = {"'self'", "'none'", "data:", "blob:"}


def broken(request: Any) -> Any:
    raise RuntimeError("planted")


urlpatterns = [path("broken", broken, name="healthz")]  # a name that is open to everybody, else there is nothing


@pytest.fixture(autouse=True)
def _over_tls() -> Iterator[None]:
    with override_settings(SECURE_HSTS_SECONDS=YEAR_S):
        yield


OF_EVERYBODY = {"sw.js", "manifest.webmanifest"}
"""Files that a browser asks for anew each time; they may be kept, as long as a stranger gets the very same."""


def faults(answer: Any, private: bool = False) -> list[str]:
    """What is missing or too wide in one answer."""
    found = []
    for name, value in FIXED.items():
        if answer.get(name, "") not in (value if isinstance(value, tuple) else (value,)):
            found.append(f"{name}: {answer.get(name)}")
    parts = [part.split() for part in answer.get("Content-Security-Policy", "").split(";") if part.strip()]
    policy = {name: words for name, *words in parts}
    found += [f"{name}: {policy.get(name)}" for name, value in CLOSED.items() if policy.get(name) != [value]]
    found += [f"{name}: {words}" for name, words in policy.items() if not set(words) <= OWN_ONLY]
    found += [f"{name}: {policy.get(name)}" for name in ("script-src", "style-src") if policy.get(name) != ["'self'"]]
    if "camera=()" not in answer.get("Permissions-Policy", ""):
        found.append("Permissions-Policy")
    if private and "no-store" not in answer.get("Cache-Control", ""):
        found.append(f"Cache-Control: {answer.get('Cache-Control')}")
    return found


def walked(client: Client, private: bool) -> dict[str, list[str]]:
    """Every address, by GET and by POST; files are the same for everybody and may be kept."""
    found = {}
    for route in ADDRESSES:
        for method in ("get", "post"):
            answer = getattr(client, method)(f"/{route}")
            same = route in OF_EVERYBODY and answer.content == getattr(Client(), method)(f"/{route}").content
            wrong = faults(answer, private and not same)
            if wrong:
                found[f"{method} {route}"] = wrong
    return found


def in_as(role: str) -> Client:
    squad = stored.squad()
    rows = stored.athletes(["a01"], squad)
    stored.share(rows)
    stored.conclude(rows, stored.event())
    client = Client(raise_request_exception=False)
    client.force_login(stored.login(role, squad, rows if role == "athlete" else ()))
    return client


@pytest.mark.django_db
def test_every_address_says_all_of_it_to_a_stranger() -> None:
    assert walked(Client(), private=False) == {}


@pytest.mark.django_db
@pytest.mark.parametrize("role", ["head-coach", "athlete"])
def test_every_address_says_all_of_it_to_whoever_is_in_and_is_kept_nowhere(role: str) -> None:
    assert walked(in_as(role), private=True) == {}


@pytest.mark.django_db
def test_every_kind_of_error_says_it_too() -> None:
    client = Client(raise_request_exception=False)
    answers = {
        404: client.get("/no/such/address"),
        405: client.put("/healthz"),
        400: client.get("/login", headers={"host": "elsewhere.example"}),
        403: Client(enforce_csrf_checks=True).post("/login", {"username": "u"}),
    }
    with override_settings(TENPADS_REDIS_URL=counting.NOWHERE):
        answers[503] = client.post("/login", {"username": "u", "password": "p"})
    for _ in range(11):
        answers[429] = client.post("/login", {"username": "u", "password": "p"})

    with override_settings(ROOT_URLCONF=__name__):
        answers[500] = Client(raise_request_exception=False).get("/broken")
    assert {status: answer.status_code for status, answer in answers.items()} == {s: s for s in answers}
    assert {status: wrong for status, answer in answers.items() if (wrong := faults(answer))} == {}


def test_a_file_says_it_too() -> None:
    answer = Client().get("/static/tenpads/passkeys.js")
    assert answer.status_code == 200 and faults(answer) == []


@pytest.mark.django_db
def test_planted_an_inline_script_let_in_is_found() -> None:
    wide = settings.CONTENT_SECURITY_POLICY["DIRECTIVES"] | {"script-src": ["'self'", "'unsafe-inline'"]}
    with override_settings(CONTENT_SECURITY_POLICY={"DIRECTIVES": wide}):
        assert any("unsafe-inline" in wrong for wrong in faults(Client().get("/login")))


@pytest.mark.django_db
def test_planted_the_middleware_left_out_is_found() -> None:
    left = [name for name in settings.MIDDLEWARE if not name.endswith("HeadersMiddleware")]
    with override_settings(MIDDLEWARE=left):
        assert faults(Client().get("/login")) and faults(Client().get("/no/such/address"))


SECURE = """
import django, sys
django.setup()
from django.conf import settings
from django.core.management import call_command
call_command("check", deploy=True, fail_level="WARNING", stdout=sys.stderr)
for name in ("SESSION", "CSRF"):
    parts = ("NAME", "SECURE", "HTTPONLY", "SAMESITE", "PATH", "DOMAIN")
    print(*[getattr(settings, f"{name}_COOKIE_{part}") for part in parts])
print(settings.MESSAGE_STORAGE, settings.TENPADS_COOKIES, settings.SECURE_SSL_REDIRECT, settings.SECURE_HSTS_SECONDS)
"""


def test_a_served_installation_passes_the_frameworks_own_check_and_binds_its_cookies(tmp_path: Any) -> None:
    """`check --deploy` with nothing to say; `__Host-` as RFC 6265bis asks: Secure, for all of the host, no domain."""
    given = {"TENPADS_SECURE": "true", "TENPADS_DATA": str(tmp_path), "TENPADS_SECRET_KEY": "0aB-x9" * 12}
    around = {**os.environ, **given, "DJANGO_SETTINGS_MODULE": "coaching.config.settings"}
    asked = [sys.executable, "-c", SECURE]
    ran = subprocess.run(asked, cwd=environment.ROOT, env=around, capture_output=True, text=True)
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.splitlines() == [
        "__Host-sessionid True True Lax / None",
        "__Host-csrftoken True True Lax / None",
        f"coaching.config.messages.Messages __Host- True {YEAR_S}",
    ]
