"""What a phone keeps is never older than what it has been told: copies after an answer, and the number of a tally.
Common practice, no source: whoever has told something must find it told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest

from tests.journey.kept_world import KeptWorld
from tests.journey.phone import IDLE, NOW, Phone, holds

pytestmark = pytest.mark.browser
TOLD = holds("/me/check-in", "Already sent")
COPIED = "async () => sessionStorage.setItem('tenpads-copied', `${await tenpads.queue.read('who')} ${Date.now()}`)"
KEEP = """async () => (await navigator.serviceWorker.ready).active.postMessage(
  { what: "keep", who: await tenpads.queue.read("who"), pages: ["/me/check-in"] })"""
LEFT = """async () => (await tenpads.queue.list()).filter((one) => one.kind === "tap").map((one) => one.body)"""
NUMBER = "n => document.querySelector('.tally-number').textContent === n"


@pytest.fixture
def phone(browser: Any, kept_world: KeptWorld) -> Iterator[Callable[[str], Phone]]:
    kept_world.travel(NOW)
    yield lambda user: Phone(browser, kept_world).sign_in(user)


def answered(world: KeptWorld, code: str) -> None:
    """By whatever other way."""
    told = f"athlete=Athlete.objects.get(code={code!r}), local_date='2027-03-11', reserve=6"
    assert world.asks(f"print(CheckIn.objects.create({told}).reserve)") == "6"


def test_what_was_told_on_the_page_before_makes_the_copies_anew(phone: Any, kept_world: KeptWorld) -> None:
    """That page may be left at once. Without a word of it, copies of a minute ago are let be."""
    one = phone("w13").go("/me/today")
    one.until(IDLE)
    answered(kept_world, "w13")
    one.page.evaluate(COPIED)
    one.go("/me/today").until(IDLE)
    one.page.wait_for_timeout(1500)
    assert not one.page.evaluate(TOLD)
    one.page.evaluate("() => sessionStorage.setItem('tenpads-told', '1')")
    one.go("/me/today").until(TOLD, 20)
    assert one.page.evaluate("() => sessionStorage.getItem('tenpads-told')") is None


def test_an_answer_that_comes_late_is_no_newer_copy(phone: Any, kept_world: KeptWorld) -> None:
    one, held = phone("w14").go("/me/today"), list[Any]()
    one.until(IDLE)

    def first_waits(route: Any) -> None:
        if held:
            return route.continue_()
        held.extend((route, route.fetch()))
        return None

    one.context.route("**/me/check-in", first_waits)
    one.page.evaluate(KEEP)
    for _ in range(100):
        if held:
            break
        one.page.wait_for_timeout(100)
    assert held, "the worker asked for nothing"
    answered(kept_world, "w14")
    one.page.evaluate(KEEP)
    one.until(TOLD, 20)
    held[0].fulfill(response=held[1])
    one.page.wait_for_timeout(1500)
    assert one.page.evaluate(TOLD)


def test_a_tap_that_waits_on_the_phone_is_shown_once(phone: Any) -> None:
    """The page hears what the phone keeps when it has come, and by then may have counted some of it itself."""
    one = phone("w15").go("/me/tally").off()
    one.page.locator("button[value='try plastic']").click()
    one.until(f"() => ({NUMBER})('1')")
    (tap,) = one.page.evaluate(LEFT)
    form = "document.querySelector('form.tally-form')"
    say = f"taps => {form}.dispatchEvent(new CustomEvent('kept', {{ detail: {{ taps }} }}))"
    one.page.evaluate(say, [tap])
    assert one.page.evaluate(NUMBER, "1")
    one.page.evaluate(say, [{**tap, "key": "another"}])
    assert one.page.evaluate(NUMBER, "2")
