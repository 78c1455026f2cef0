"""Somebody is let in by a link, makes a passkey and signs in with nothing else, in a real browser with an authenticator
made of software. Nothing but a browser runs the script of passkeys, under the policy of content that every page has.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.journey.served import Served
from tests.journey.test_checkin_in_browser import signed_in

PASSWORD = "a quiet orange lamp post"
AUTHENTICATOR = {
    "protocol": "ctap2", "transport": "internal", "hasResidentKey": True, "hasUserVerification": True,
    "isUserVerified": True, "automaticPresenceSimulation": True,
}  # fmt: skip


@pytest.fixture
def own_demo(made_demo: Path, tmp_path: Path) -> Iterator[Served]:
    shutil.copytree(made_demo, tmp_path / "data")
    served = Served(tmp_path / "data")
    served.start()
    served.address = served.address.replace("127.0.0.1", "localhost")  # a passkey belongs to a name, not a number
    yield served
    served.kill()


@pytest.mark.browser
def test_a_link_a_password_a_passkey_and_then_the_passkey_alone(browser: Any, own_demo: Served) -> None:
    coach = signed_in(browser, own_demo, "p-coach")
    coach.goto(f"{own_demo.address}/people")
    coach.fill("#name", "Ida Berg")
    coach.get_by_role("button", name="Make the invitation").first.click()
    link = coach.inner_text(".letters")

    page = browser.new_context().new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    tools = page.context.new_cdp_session(page)
    tools.send("WebAuthn.enable")
    tools.send("WebAuthn.addVirtualAuthenticator", {"options": AUTHENTICATOR})
    page.goto(link)
    assert page.url == f"{own_demo.address}/join"
    page.fill("#username", "ida")
    page.fill("#password", PASSWORD)
    page.get_by_role("button", name="Make the login").click()
    page.fill("#username", "ida")
    page.fill("#password", PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    page.wait_for_url("**/account/second-factor")
    page.get_by_role("link", name="Make a passkey").click()
    page.fill("#password", PASSWORD)
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="Make it").click()
    page.wait_for_url("**/account/second-factor/codes")
    assert page.locator(".codes li").count() == 10
    page.goto(f"{own_demo.address}/account")
    page.get_by_role("button", name="Sign out here").click()
    page.wait_for_url("**/login")
    page.get_by_role("button", name="Sign in with a passkey").click()
    page.wait_for_url("**/morning")
    # The browser says so where signing out has cleared what it kept, which it shall.
    assert [one for one in said if not one.startswith("Clear-Site-Data header on ")] == []
