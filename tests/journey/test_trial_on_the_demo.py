"""The whole path of a trial on the demo squad in a real browser, on a server whose clock the test sets: set up, told of
day by day, stopped or read to its end, and the result on every page and paper that holds it.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from tests.journey.kept_world import KeptWorld
from tests.journey.test_trial_in_browser import LIVE, ask, opened

pytestmark = pytest.mark.browser
WHO, FORM = "a12", "water-based cream"
AFTER_DAYS = 24
"""By then the trip of that athlete is over, in whose pause nothing is tried."""
QUESTION = f"Does {FORM} lower sting?"
SALT = "Does aluminium salt lower dampness?"


@pytest.fixture
def demo_world(made_demo: Path, tmp_path: Path) -> Iterator[tuple[KeptWorld, datetime]]:
    """The demo on a server of its own, at noon of the day on which it was made."""
    shutil.copytree(made_demo, tmp_path / "data")
    noon = datetime.now(UTC).replace(hour=12, minute=0, second=0, microsecond=0)
    (tmp_path / "data" / "clock").write_text(noon.isoformat())
    world = KeptWorld(tmp_path / "data")
    world.start()
    world.travel(noon)
    yield world, noon
    world.stop()


def spot(page: Any, world: KeptWorld) -> None:
    page.goto(f"{world.address}/me/trials")
    page.select_option("#patch-form", FORM)
    page.get_by_role("button", name="nothing to see").click()
    page.get_by_text("Stored.").wait_for()


def paper(page: Any, address: str) -> tuple[int, str]:
    """Pages of a PDF, and its text."""
    answer = page.request.get(address)
    assert answer.ok, answer.status
    reader = PdfReader(BytesIO(answer.body()))
    return len(reader.pages), " ".join(" ".join(one.extract_text() for one in reader.pages).split())


def test_from_the_question_to_every_page_that_holds_the_answer(
    browser: Any, demo_world: tuple[KeptWorld, datetime]
) -> None:
    world, made = demo_world
    noon = made + timedelta(days=AFTER_DAYS)
    world.travel(noon)
    page = opened(browser, world, f"p-{WHO}")
    spot(page, world)
    world.travel(noon + timedelta(days=2))
    spot(page, world)
    ask(page, world, FORM, "sting", (noon + timedelta(days=2)).date().isoformat())
    page.get_by_role("button", name="Draw the order and begin").click()
    page.get_by_text("Drawn.").wait_for()

    told = 0
    for n in range(2, 10):  # a few days on the pages: today's list says the arm, and the trial's page takes the word
        world.travel(noon + timedelta(days=n))
        page.goto(f"{world.address}/me/today")
        assert page.get_by_text(f"{FORM} today.").count() == 1
        page.get_by_role("link", name="Tell").first.click()
        if page.get_by_role("button", name="Used", exact=True).count():
            page.get_by_role("button", name="Used", exact=True).first.click()
            page.get_by_text("Stored.").wait_for()
            told += 1
    assert told >= 2
    last = world.asks(LIVE.format(who=WHO))
    days = (datetime.fromisoformat(last).date() - noon.date()).days
    world.travel(noon + timedelta(days=days + 1))
    page = opened(browser, world, f"p-{WHO}")
    page.goto(f"{world.address}/me/trials")
    page.get_by_role("link", name=QUESTION).click()
    page.get_by_role("button", name="Read the result").click()
    page.get_by_text("Ended.").wait_for()
    assert "Works for me" in page.locator("h1").inner_text()
    assert page.get_by_text("Plans go by it.").count() == 1
    pages, text = paper(page, f"{world.address}/me/record.pdf")
    assert "Your own trials" in text and QUESTION in text and "Works for me." in text
    assert page.evaluate("document.documentElement.scrollWidth") <= 390

    coach = opened(browser, world, "p-coach")
    coach.goto(f"{world.address}/trials")
    said = coach.locator("main").inner_text()
    assert said.count("works for them") >= 4 and QUESTION in said and SALT in said  # theirs and that of the scenario
    coach.goto(f"{world.address}/athletes/{WHO}")
    assert QUESTION in coach.locator("main").inner_text()
    assert f"{FORM}, sting: works for them" in coach.locator("main").inner_text().replace("Water", "water")


def test_stopped_on_the_demo_and_the_result_on_the_sheet(
    browser: Any, demo_world: tuple[KeptWorld, datetime]
) -> None:
    """The one from bottles is stopped; the one that is over stands on the sheet of the cup: one page still."""
    world, _ = demo_world
    page = opened(browser, world, "p-a03")
    page.goto(f"{world.address}/me/today")
    assert page.get_by_text("Use bottle").count() + page.get_by_text("Not today").count() == 1
    page.goto(f"{world.address}/me/trials")
    page.get_by_role("link", name=SALT).click()
    assert page.get_by_text("What came").count() == 0
    page.get_by_text("Stop early").click()
    page.get_by_role("button", name="Stop the trial").click()
    page.get_by_text("Ended.").wait_for()
    assert "Cannot tell yet" in page.locator("h1").inner_text()
    assert page.get_by_text("six is the least").count() == 1

    coach = opened(browser, world, "p-coach")
    pages, text = paper(coach, f"{world.address}/events/e-orlevo/sheet.pdf")
    assert pages == 1 and "own trials: aluminium salt works" in text
    coach.goto(f"{world.address}/trials")
    said = coach.locator("main").inner_text()
    assert "works for them" in said and "cannot tell yet" in said
    coach.goto(f"{world.address}/athletes/a06")
    assert "Aluminium salt, dampness: works for them" in coach.locator("main").inner_text()
