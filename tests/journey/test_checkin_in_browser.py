"""An athlete checks in on a phone; the coach's row soon says something else. The seconds are printed, not judged: they
belong to the machine."""

from __future__ import annotations

import re
import shutil
import time
from pathlib import Path
from typing import Any

import pytest

from tests.journey.served import Served

PASSWORD = "skin that holds"
PHONE = {"width": 390, "height": 844}


def signed_in(browser: Any, served: Served, user: str, **options: Any) -> Any:
    page = browser.new_context(viewport=PHONE, **options).new_page()
    page.goto(f"{served.address}/login")
    page.fill("input[name=username]", user)
    page.fill("input[name=password]", PASSWORD)
    page.click("button[type=submit]:has-text('Sign in')")
    page.wait_for_url(lambda url: not url.endswith("/login"))  # a reload on the way to the next page finds none
    return page


def row(coach: Any, code: str) -> str:
    """The row as drawn: an answer for an event weeks away may move its strip and range, and no whole number."""
    coach.reload()
    return coach.inner_html(f"li.row:has(a[href='/athletes/{code}'])")


def send(page: Any, answers: dict[str, str]) -> None:
    for name, value in answers.items():
        page.locator(f"input[name={name}][value='{value}']").check(force=True)
    page.get_by_role("button", name=re.compile("^send", re.IGNORECASE)).click()
    page.wait_for_url("**/me/today*")


@pytest.fixture
def own_demo(made_demo: Path, tmp_path: Path) -> Any:
    shutil.copytree(made_demo, tmp_path / "data")
    served = Served(tmp_path / "data")
    served.start()
    yield served
    served.kill()


@pytest.mark.browser
@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_check_in_changes_the_coachs_row(browser: Any, own_demo: Served, scripts: bool) -> None:
    coach = signed_in(browser, own_demo, "p-coach")
    before = row(coach, "a24")
    athlete = signed_in(browser, own_demo, "p-a24", java_script_enabled=scripts)
    athlete.goto(f"{own_demo.address}/me/check-in")
    send(athlete, {"reserve": "0", "dampness": "10", "agent_used": "no"})
    sent = time.monotonic()
    while (after := row(coach, "a24")) == before and time.monotonic() - sent < 10:
        time.sleep(0.05)
    assert after != before
    print(f"the coach's row changed {time.monotonic() - sent:.2f} s after sending")
