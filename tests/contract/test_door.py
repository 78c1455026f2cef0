"""Every address of the service, walked as a stranger: what is not theirs does not exist."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from coaching.config import door

OPEN = {"login", "login/once", "healthz", "readyz", "sw.js", "manifest.webmanifest", "offline"}
REDIRECTS = {"", "login/code", "login/passkey"}
"""The front door, and two steps of signing in that lead back to its beginning where nobody has begun."""
SIGNED_OUT_ONLY = {"login/once"}
"""A code leads in; whoever is in is led on."""
LINKS = {"join", "join/no-such-link", "new-password", "new-password/no-such-link", "calendar/no-such-link",
         "reminders/yes/no-such-link", "reminders/stop/no-such-link"}  # fmt: skip
"""They exist for whoever brings a link that stands; without one nothing is there."""
FILLED = {
    "<str:code>": "a01",
    "<str:athlete_id>": "a01",
    "<str:event_id>": "lindmark-cup",
    "<str:episode_id>": "d1",
    "<str:look_id>": "1",
    "<str:token>": "no-such-link",
    "<str:name>": "no-such-photo",
    "<int:pk>": "1",
    "<int:number>": "1",
}


def addresses(resolver: URLResolver | None = None, prefix: str = "") -> Iterator[str]:
    """Every path of the resolver, with a plausible value in place of each parameter."""
    for pattern in (resolver or get_resolver()).url_patterns:
        route = prefix + str(pattern.pattern)
        if isinstance(pattern, URLPattern):
            for hole, value in FILLED.items():
                route = route.replace(hole, value)
            assert "<" not in route, f"no value for the parameter in {route}"
            yield route
        else:
            yield from addresses(pattern, route)


ADDRESSES = sorted(set(addresses()))


def test_the_walk_meets_the_addresses_there_are() -> None:
    assert {"morning", "athletes/a01", "me/check-in", "me/today", "api/v1/athletes"} <= set(ADDRESSES)


def expected(route: str, signed_in: bool) -> int:
    if route in REDIRECTS or (signed_in and route in SIGNED_OUT_ONLY):
        return 302
    return 200 if route in OPEN else 404


@pytest.mark.django_db
@pytest.mark.parametrize("route", ADDRESSES)
@pytest.mark.parametrize("signed_in", [False, True], ids=["signed out", "no role"])
@pytest.mark.parametrize("method", ["get", "post", "put", "patch", "delete"])
def test_a_stranger_finds_nothing(client: Client, django_user_model, route: str, signed_in: bool, method: str) -> None:
    if signed_in:
        client.force_login(django_user_model.objects.create_user("stranger"))
    status = getattr(client, method)(f"/{route}").status_code
    if method == "get":
        assert status == expected(route, signed_in)
    elif route in OPEN | REDIRECTS:
        assert status in (200, 302, 405, 422)
    elif route in LINKS:
        assert status in (404, 405)
    else:
        assert status == 404


def test_what_is_open_to_everybody_is_this_short_list() -> None:
    names = {"front", "login", "healthz", "readyz", "worker", "manifest", "offline", "join", "join-link", "reset",
             "reset-link", "mfa_authenticate", "mfa_login_webauthn", "calendar-link", "login-code", "mail-link",
             "stop-link"}  # fmt: skip
    assert names == door.OPEN
    open_now = {reverse(name, args=["no-such-link"] if name.endswith("-link") else []).lstrip("/") for name in names}
    assert open_now == OPEN | REDIRECTS | LINKS


@pytest.mark.django_db
def test_a_foreign_athlete_and_nobody_answer_byte_for_byte_alike(client: Client, django_user_model) -> None:
    from athletes.records.models import Athlete

    Athlete.objects.create(code="a01", name="Somebody Else")
    client.force_login(django_user_model.objects.create_user("stranger"))
    for prefix in ("athletes/", "api/v1/athletes/"):
        suffix = "/entries" if prefix.startswith("api") else ""
        foreign, nobody = (client.get(f"/{prefix}{code}{suffix}") for code in ("a01", "zz9"))
        assert (foreign.status_code, foreign.content) == (404, nobody.content)
