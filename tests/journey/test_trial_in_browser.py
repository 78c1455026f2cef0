"""An athlete's own trial in a real browser, from the small spot to the word: days between are told as they would be,
on a server whose clock the test sets. At the end the coach reads who has tried what.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests import stored
from tests.journey.kept_world import KeptWorld, signed_in

pytestmark = pytest.mark.browser
WHO = "k12"
PATIENCE_MS = 120_000
LIVE = """
from datetime import timedelta
from athletes.records import queries_trials
from coaching.usecases import trial_data
from django.utils import timezone
trial = Trial.objects.get(athlete__code="{who}")
(row,) = [one for one in queries_trials.of_athletes([trial.athlete_id]) if one.id == trial.pk]
blocks, frame = trial_data.blocks_of(row), trial_data.due(trial_data.blocks_of(row), trial_data.order_of(row), 1)[0]
for at in range(blocks.days):
    day = trial.first_day + timedelta(days=at)
    with_it = at > 0 and frame[at - 1]
    CheckIn.objects.update_or_create(
        athlete_id=trial.athlete_id, local_date=day, defaults={{"sting": 2 + at % 2 if with_it else 6 - at % 2}})
    if frame[at]:
        TrialDay.objects.create(
            athlete_id=trial.athlete_id, trial=trial, local_date=day, taken=at % 9 != 4, made_at=timezone.now())
print(trial.last_day)
"""


def opened(browser: Any, world: KeptWorld, user: str) -> Any:
    page = browser.new_context(viewport={"width": 390, "height": 844}, service_workers="block").new_page()
    page.set_default_timeout(PATIENCE_MS)
    page.set_default_navigation_timeout(PATIENCE_MS)
    signed_in(page, world.address, user)
    return page


def ask(page: Any, world: KeptWorld, form: str, outcome: str, first: str) -> None:
    page.goto(f"{world.address}/me/trials/new")
    page.select_option("[name=form]", form)
    page.select_option("[name=outcome]", outcome)
    page.fill("[name=first_day]", first)
    page.get_by_role("button", name="What would it take?").click()
    page.get_by_text("Six pairs at the least").wait_for()


def test_a_trial_from_the_small_spot_to_the_word(browser: Any, kept_world: KeptWorld) -> None:
    begin = stored.NOW + timedelta(days=10)  # the day after the cup, in whose pause nothing may begin
    kept_world.travel(stored.NOW)
    page = opened(browser, kept_world, WHO)
    page.goto(f"{kept_world.address}/me/trials")
    page.select_option("#patch-form", "humectant cream")
    page.get_by_role("button", name="nothing to see").click()
    page.get_by_text("Stored.").wait_for()

    # A split is open: no drying agent is put on, whatever is asked.
    ask(page, kept_world, "aluminium salt", "dampness", stored.TODAY.isoformat())
    assert page.get_by_text("Skin is open").count() == 1
    assert page.get_by_role("button", name="Draw the order and begin").count() == 0
    ask(page, kept_world, "humectant cream", "sting", stored.TODAY.isoformat())
    assert page.get_by_text("looked at two days after").count() == 1

    kept_world.travel(begin)
    page.goto(f"{kept_world.address}/me/trials")
    page.select_option("#patch-form", "humectant cream")
    page.get_by_role("button", name="nothing to see").click()
    page.get_by_text("Stored.").wait_for()
    ask(page, kept_world, "humectant cream", "sting", begin.date().isoformat())
    assert page.get_by_text("Four such trials in five show an effect of about").count() == 1
    page.get_by_role("button", name="Draw the order and begin").click()
    page.get_by_text("Drawn.").wait_for()
    arm = page.locator("form.plain p b").first.inner_text()
    assert arm in ("With humectant cream today.", "Without humectant cream today.")
    assert page.get_by_text("What came").count() == 0

    page.goto(f"{kept_world.address}/me/today")
    assert page.get_by_text(arm).count() == 1
    last = kept_world.asks(LIVE.format(who=WHO))
    days = (stored.TODAY.fromisoformat(last) - begin.date()).days
    kept_world.travel(begin + timedelta(days=days + 1))
    page = opened(browser, kept_world, WHO)  # the session of the first day is over by now
    page.goto(f"{kept_world.address}/me/trials")
    page.get_by_role("link", name="Does humectant cream lower sting?").click()
    page.get_by_role("button", name="Read the result").click()
    page.get_by_text("Ended.").wait_for()
    assert "Works for me" in page.locator("h1").inner_text()
    assert page.locator("svg.dots circle").count() >= 50 and page.get_by_text("6 whole pairs.").count() == 1
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.goto(f"{kept_world.address}/me/trials")
    assert page.get_by_text("Humectant cream, sting: works for me").count() == 1

    coach = opened(browser, kept_world, "coach1")
    coach.goto(f"{kept_world.address}/trials")
    assert "works for them" in coach.locator("main").inner_text()
