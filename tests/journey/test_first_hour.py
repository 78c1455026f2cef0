"""The first hour of an empty club, in a browser: a sample looked at and removed, athletes by hand and from a
spreadsheet whose bad rows are named, the first event, an athlete invited by link who shares and answers, and the
coach's first list the same morning.
"""

from __future__ import annotations

import re
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.journey.served import LISTENING, ROOT, Served
from tests.journey.test_passkey_in_browser import AUTHENTICATOR

PASSWORD = "a quiet orange lamp post"
BAD = "name,birth_date,timezone\nAyo Brandt,2004-02-30,Europe/Vienna\nBea Lund,2003-05-01,Mars/Base\n"
GOOD = "name,birth_date,timezone\nAyo Brandt,2004-02-28,Europe/Vienna\nBea Lund,2003-05-01,Europe/Vienna\n"


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Served]:
    served = Served(tmp_path / "data")
    told = ["new-club", "--club", "C", "--squad", "First Squad", "--coach", "Cleo", "--user", "cleo"]
    command = [sys.executable, "manage.py", *told, "--data", str(served.data)]
    made = subprocess.run(
        command, cwd=ROOT, env=served._environment, input=PASSWORD + "\n", capture_output=True, text=True, check=False
    )
    assert made.returncode == 0, made.stdout + made.stderr
    served.process = subprocess.Popen(
        [sys.executable, "manage.py", "serve", "--data", str(served.data)], cwd=ROOT, env=served._environment,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, start_new_session=True,
    )  # fmt: skip
    assert served.process.stdout
    for line in served.process.stdout:
        if found := LISTENING.search(line):
            served.address = found.group(1).replace("127.0.0.1", "localhost")  # a passkey belongs to a name
            break
    assert served.address
    yield served
    served.kill()


def coach_with_a_passkey(browser: Any, served: Served) -> Any:
    page = browser.new_context(service_workers="block").new_page()
    tools = page.context.new_cdp_session(page)
    tools.send("WebAuthn.enable")
    tools.send("WebAuthn.addVirtualAuthenticator", {"options": AUTHENTICATOR})
    page.goto(f"{served.address}/login")
    page.fill("#username", "cleo")
    page.fill("#password", PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    page.wait_for_url("**/account/second-factor")
    page.get_by_role("link", name="Make a passkey").click()
    page.fill("#password", PASSWORD)
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="Make it").click()
    page.wait_for_url("**/account/second-factor/codes")
    return page


def until(page: Any, address: str, said: str, seconds: float = 120.0) -> str:
    """Look again until the page says it."""
    begun = time.monotonic()
    while True:
        page.goto(address)
        found = page.inner_text("main")
        if said in found:
            return str(found)
        assert time.monotonic() - begun < seconds, f"{said} is not in:\n{found}"
        time.sleep(1)


def chosen(page: Any, text: str) -> None:
    page.set_input_files("#file", {"name": "squad.csv", "mimeType": "text/csv", "buffer": text.encode()})
    page.get_by_role("button", name="Look at it first").click()


@pytest.mark.browser
@pytest.mark.slow
def test_from_an_empty_club_to_the_first_list(browser: Any, empty: Served) -> None:
    here = empty.address
    coach = coach_with_a_passkey(browser, empty)

    # A sample, marked, and gone again.
    coach.goto(f"{here}/squad")
    coach.get_by_role("button", name="Show a sample").click()
    assert until(coach, f"{here}/morning", "Nkechi Obaleye (sample)").count("(sample)") >= 4
    coach.goto(f"{here}/squad")
    assert coach.get_by_role("button", name="Add the athlete").count() == 0
    coach.get_by_role("button", name="Remove the sample").click()
    assert "Nobody is in First Squad yet." in coach.inner_text("main")
    coach.goto(f"{here}/morning")
    assert "(sample)" not in coach.content()

    # One by hand, two from a spreadsheet: every bad row is named before anything is stored.
    coach.goto(f"{here}/squad")
    coach.fill("#id_name", "Dara Quist")
    coach.fill("#id_birth_date", "2002-07-04")
    coach.select_option("#id_timezone", "Europe/Vienna")
    coach.get_by_role("button", name="Add the athlete").click()
    chosen(coach, BAD)
    bad = coach.inner_text(".bad-rows")
    assert re.search(r"row 2\b.*birth_date.*2004-02-30", bad) and re.search(r"row 3\b.*timezone.*Mars/Base", bad)
    chosen(coach, GOOD)
    assert "2 athletes to add, nothing stored yet" in coach.inner_text("main")
    coach.get_by_role("button", name="Add them").click()
    assert "3 athletes in First Squad." in coach.inner_text("h1")

    # The first event.
    coach.goto(f"{here}/new-event")
    coach.fill("#id_name", "Harbour Open")
    coach.fill("#id_first_day", (date.today() + timedelta(days=12)).isoformat())
    coach.select_option("#id_timezone", "Europe/Vienna")
    coach.get_by_label("Everybody in the list").check()
    coach.get_by_role("button", name="Add the event").click()
    assert "Harbour Open" in coach.inner_text("main")

    # One athlete is invited, comes in by the link, shares, and answers this morning.
    coach.goto(f"{here}/squad")
    coach.get_by_role("button", name="Make an invitation for Dara Quist").click()
    athlete = browser.new_context(service_workers="block").new_page()
    athlete.goto(coach.inner_text(".letters"))
    athlete.fill("#username", "dara")
    athlete.fill("#password", PASSWORD)
    athlete.get_by_role("button", name="Make the login").click()
    athlete.wait_for_url("**/login")
    athlete.fill("#username", "dara")
    athlete.fill("#password", PASSWORD)
    athlete.get_by_role("button", name="Sign in", exact=True).click()
    athlete.wait_for_url(lambda url: not url.endswith("/login"))
    for what in ("Level", "Check-ins", "Damage"):
        athlete.goto(f"{here}/me/who-sees")
        with athlete.expect_navigation():
            athlete.locator("#head-coach li", has=athlete.get_by_text(what, exact=True)).get_by_role("button").click()
    athlete.goto(f"{here}/me/check-in")
    for name, value in {"reserve": "8", "dampness": "4", "agent_used": "no"}.items():
        athlete.locator(f"input[name={name}][value='{value}']").check(force=True)
    athlete.get_by_role("button", name=re.compile("^send", re.IGNORECASE)).click()
    athlete.wait_for_url("**/me/today*")

    # The first list, the same morning: who shares stands in it with the event, the others are counted.
    found = until(coach, f"{here}/morning", "Harbour Open")
    assert "Dara Quist" in found and "Ayo Brandt" not in found
    assert "2 members share no level with you and are not listed." in found
