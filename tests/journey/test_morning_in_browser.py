"""The morning list under a coach's hands: keys from name to name, an answer in the line, word of newer facts."""

from __future__ import annotations

from typing import Any

import pytest

from tests.journey.served import Served
from tests.journey.test_checkin_in_browser import signed_in

ACTIVE = "document.activeElement.textContent"


@pytest.fixture
def page(browser: Any, demo: Served) -> Any:
    page = signed_in(browser, demo, "p-coach", service_workers="block")
    page.set_viewport_size({"width": 1440, "height": 900})
    page.goto(f"{demo.address}/morning")
    return page


@pytest.mark.browser
def test_keys_go_from_name_to_name_and_leave_the_rest_of_the_keyboard_alone(page: Any) -> None:
    names = page.locator(".row-name").all_inner_texts()
    page.locator(".row-name").first.focus()
    for key, at in (("ArrowUp", 0), ("ArrowDown", 1), ("ArrowDown", 2), ("End", -1), ("ArrowDown", -1), ("ArrowUp", -2),
                    ("Home", 0)):  # fmt: skip
        page.keyboard.press(key)
        assert page.evaluate(ACTIVE) == names[at], key
    page.keyboard.press("Control+End")
    assert page.evaluate(ACTIVE) == names[0]
    page.keyboard.press("Enter")
    page.wait_for_url("**/athletes/*")


@pytest.mark.browser
def test_order_and_picks_are_in_the_address_and_come_back_with_it(page: Any) -> None:
    page.locator(".level-counts a").nth(1).click()
    page.wait_for_url("**level=act**")
    found = page.locator(".row").count()
    assert 0 < found == page.locator(".row .level-act").count()
    page.locator(".rows-choices summary").click()
    page.get_by_role("link", name="by name").click()
    page.wait_for_url("**sort=name**")
    assert "level=act" in page.url and page.locator(".row").count() == found
    page.go_back()
    assert "sort" not in page.url and page.locator(".row").count() == found


@pytest.mark.browser
def test_a_decision_is_answered_in_its_line(page: Any) -> None:
    codes = page.evaluate(
        """async () => { const found = [];
        for (const link of document.querySelectorAll('[data-decide]')) {
          const text = await (await fetch(link.href)).text();
          if (text.includes('name="answer"')) { found.push(link.closest('.row').id); break; } }
        return found; }"""
    )
    row = page.locator(f"#{codes[0]}")
    row.locator("[data-decide]").click()
    asked = row.locator(".decision:has(form)")
    asked.first.wait_for()
    before, line = asked.count(), asked.first
    line.locator("summary").click() if not line.locator("details").evaluate("one => one.open") else None
    line.locator("input[value=decline]").check()
    line.locator("button").click()
    row.locator(".field-error").wait_for()  # a decline has to say why
    line = row.locator(".decision:has(.field-error)")
    line.locator("input[value=accept]").check()
    line.locator("button").click()
    row.get_by_role("status").wait_for()
    assert page.url.endswith("/morning") and row.locator(".decision:has(form)").count() == before - 1


@pytest.mark.browser
def test_newer_facts_are_told_and_move_no_line(page: Any, demo: Served) -> None:
    """The clock of the page is moved on; the server's answer is changed on its way, as a check-in would change it."""
    page.clock.install()
    told = {"n": 0}

    def changed(route: Any) -> None:
        answer = route.fetch()
        body = answer.json()
        told["n"] += 1
        body["rows"][0]["chance"] = str(told["n"])
        route.fulfill(response=answer, json=body)

    page.route("**/morning/kept", changed)
    page.reload()
    tops = "[...document.querySelectorAll('.row')].map(one => Math.round(one.getBoundingClientRect().top))"
    before = page.evaluate(tops)
    for _ in range(2):
        with page.expect_response("**/morning/kept"):
            page.clock.run_for(61_000)
    page.locator("#rows-newer a").wait_for()
    assert "Newer facts are here." in page.locator("#rows-newer").inner_text()
    assert page.evaluate(tops) == before
