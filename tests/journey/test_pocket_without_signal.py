"""Smaller ways of a day without a signal: a step told and taken back, signs of infection that lead to whom to call, and
a session that ended by time while answers waited. Common practice, no source: what has to work at a crag.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

import pytest

from coaching.usecases import sign_in
from tests.journey.kept_world import KeptWorld
from tests.journey.phone import COPY, NOW, SEND, Phone, holds

pytestmark = pytest.mark.browser
STEP = "form.step-told"


@pytest.fixture
def phone(browser: Any, kept_world: KeptWorld) -> Iterator[Callable[..., Phone]]:
    made: list[Phone] = []

    def make(user: str, **options: Any) -> Phone:
        made.append(Phone(browser, kept_world, **options))
        return made[-1].sign_in(user)

    kept_world.travel(NOW)
    yield make
    assert [said for one in made for said in one.said] == []


SHOWS = {"Done": ".tick", "Not done": "button[name=back]", "Take back": "button[value=done]"}


def press(one: Phone, word: str) -> None:
    """One of a step's buttons; the page comes anew and says what was told."""
    one.page.locator(f"{STEP} button", has_text=word).first.click()
    one.until(f"() => !!document.querySelector('{STEP} {SHOWS[word]}')")
    one.until(COPY)


def care(world: KeptWorld, code: str) -> list[list[str]]:
    rows = f"Care.objects.filter(athlete__code='{code}').exclude(status='planned').order_by('id')"
    return list(json.loads(world.asks(f"print(json.dumps([[str(c.local_date), c.status] for c in {rows}]))")))


def test_a_step_is_told_shown_and_taken_back_without_a_signal(phone: Any, kept_world: KeptWorld) -> None:
    one = phone("w11").off()
    one.copy("/me/today")
    assert one.page.locator(f"{STEP} button").all_inner_texts()[0].startswith("Done")
    press(one, "Not done")
    one.copy("/me/today")  # opened anew it still says so
    assert one.page.inner_text(f"{STEP} > span:not(.tick)") == "not done"
    press(one, "Take back")
    assert one.page.locator(f"{STEP} button[value=done]").is_visible()
    press(one, "Done")
    assert one.page.locator(f"{STEP} .tick").is_visible()
    one.on().sent()
    assert care(kept_world, "w11") == [["2027-03-11", "done"]]
    one.go("/me/today")
    assert one.page.locator(f"{STEP} .tick").is_visible() and "done" in one.page.inner_text(STEP)
    one.page.locator(f"{STEP} button[name=back]").click()  # with a signal, by the page
    one.until("() => !!document.querySelector('form.step-told button[value=done]')")
    assert care(kept_world, "w11") == []


def test_a_list_of_another_day_says_so_and_counts_for_today(phone: Any, kept_world: KeptWorld) -> None:
    one = phone("w11").off()
    one.at(NOW + timedelta(days=2)).copy("/me/today")
    one.until("() => document.querySelector('#offline-said').innerText.includes('This list is of Thursday')")
    assert one.page.locator(f"{STEP} button[value=skipped]").count() == 0
    press(one, "Done")
    kept_world.travel(NOW + timedelta(days=2, hours=1))
    one.on().sent()
    assert ["2027-03-13", "done"] in care(kept_world, "w11")


def note(one: Phone, **more: str) -> None:
    one.tick(site="R-ring-middle", kind="flapper", bled="yes", infected="yes", **more).page.locator(SEND).click()
    one.page.wait_for_url("**/me/infected")


def test_signs_on_a_note_of_damage_lead_to_whom_to_call(phone: Any, kept_world: KeptWorld) -> None:
    """With a signal and scripts, and without a signal; the number is that of the athlete's country."""
    one = phone("w11")
    one.go("/me/damage").until("() => !!(window.tenpads || {}).ready && tenpads.ready.then(() => true)")
    note(one, red_flags="pus")
    assert one.page.locator("main a[href='tel:112']").first.is_visible() and "Austria" in one.page.inner_text("main")
    one.until(holds("/me/infected", "Austria"))
    one.off().at(NOW + timedelta(days=1)).copy("/me/damage")
    note(one)
    one.until(COPY)
    assert one.page.locator("main a[href='tel:112']").first.is_visible() and "Austria" in one.page.inner_text("main")
    kept_world.travel(NOW + timedelta(days=1, hours=1))
    one.on().sent()
    rows = "CheckIn.objects.filter(athlete__code='w11').order_by('local_date')"
    said = kept_world.asks(f"print([[str(c.local_date), c.red_flags, 'infected' in c.note] for c in {rows}])")
    assert said == "[['2027-03-11', ['pus'], False], ['2027-03-12', [], True]]"


def test_a_session_that_ended_by_time_is_no_wall_before_what_waits(phone: Any, kept_world: KeptWorld) -> None:
    """The phone's own token delivers it; nobody is asked to sign in for it."""
    one = phone("w12").off()
    over = NOW + sign_in.STAY.idle + timedelta(days=1)
    one.at(NOW + timedelta(days=2)).check_in(reserve="4")
    kept_world.travel(over)
    one.at(over).check_in(reserve="6")  # the copies stay as long as nobody has said that the session is over
    assert one.waiting() == 2
    one.on().sent()
    rows = "CheckIn.objects.filter(athlete__code='w12').order_by('local_date')"
    said = kept_world.asks(f"print([[str(c.local_date), c.reserve] for c in {rows}])")
    assert said == f"[['2027-03-13', 4], ['{over.date()}', 6]]"
    assert one.waiting() == 0 and "sign in" not in one.heard()
    answer = one.page.goto(f"{kept_world.address}/me/today")
    assert answer.status == 404  # and yet it is over: for a stranger there is no such page
