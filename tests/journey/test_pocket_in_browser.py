"""The athlete's pocket on a phone 390 px wide: taps of a scripted thumb, what either thumb can hit, a session counted
with and without scripts, a photo that is cut and stripped before it leaves the phone.
"""

from __future__ import annotations

import io
import shutil
import sqlite3
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.journey.served import Served
from tests.journey.thumb import Thumb, out_of_reach, too_small, zones_too_small
from tests.unit.test_photo_cleaning import CANARY, jpeg

pytestmark = pytest.mark.browser
PASSWORD, PHONE = "skin that holds", {"width": 390, "height": 844}
PAGES = ("/me/check-in", "/me/today", "/me/session", "/me/tally", "/me/damage", "/me/hands", "/me/infected")
DIGITS = [f"{hand}-{digit}" for hand in "LR" for digit in ("thumb", "index", "middle", "ring", "little")]
PLAIN, BAD = 5, 12
MAIN = ".send-row .button, .tally-form .button, main .actions .button"
"""What ends a page, and what is pressed again and again."""


@pytest.fixture(scope="module")
def own_demo(made_demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    data = tmp_path_factory.mktemp("pocket") / "data"
    shutil.copytree(made_demo, data)
    served = Served(data)
    served.start()
    yield served
    served.kill()


HELD = "async () => [...new Uint8Array(await document.querySelector('input[name=photo]').files[0].arrayBuffer())]"


def signed_in(browser: Any, address: str, user: str, **options: Any) -> Any:
    page = browser.new_context(viewport=PHONE, has_touch=True, **options).new_page()
    page.goto(f"{address}/login")
    page.fill("input[name=username]", user)
    page.fill("input[name=password]", PASSWORD)
    page.click("button[type=submit]:has-text('Sign in')")
    page.wait_for_url(lambda url: not url.endswith("/login"))
    return page


def plain_day(page: Any, address: str) -> list[str]:
    """Everything that is asked on a day on which nothing is open."""
    page.goto(f"{address}/me/check-in")
    thumb = Thumb(page)
    for name, value in (("reserve", "6"), ("dampness", "4"), ("pull_pain", "0"), ("agent_used", "no")):
        thumb.choose(name, value)
    thumb.tap(".send-row button")
    page.wait_for_url("**/me/today*")
    return thumb.taps


def bad_day(page: Any, address: str) -> list[str]:
    """A split that is open, a tip that has gone pink, an agent, and the question about infection answered."""
    page.goto(f"{address}/me/check-in")
    thumb = Thumb(page)
    thumb.zone("R-index-tip", "R-index")
    thumb.tap("#spot-R-index-tip label:has(input[value='R-index-tip=pink'])")
    stage = page.locator("input[name^='stage-'][value='closing']").first.get_attribute("name")
    episode = stage.removeprefix("stage-")
    for name, value in (
        (stage, "closing"), (f"opens-{episode}", "no"), (f"pain-{episode}", "3"),
        ("reserve", "4"), ("dampness", "6"), ("agent_used", "yes"), ("infected", "no"),
    ):  # fmt: skip
        thumb.choose(name, value)
    thumb.tap(".send-row button")
    page.wait_for_url("**/me/today*")
    return thumb.taps


def nothing_preset(page: Any, address: str) -> None:
    """Yesterday's answers are shown with their day; unless tapped they are not sent."""
    page.goto(f"{address}/me/check-in")
    assert page.locator("small.was-on").count() > 0
    assert page.locator("form.checkin input:checked").count() == 0


def count_tries(page: Any, address: str) -> str:
    """Three on plastic, one taken back, then skin about to open on a tip; returns what the session's form says."""
    page.goto(f"{address}/me/tally")
    thumb = Thumb(page)
    for n in range(3):
        thumb.tap("button[value='try plastic']")
        page.wait_for_function("n => document.querySelector('.tally-number').textContent == n", arg=str(n + 1))
    thumb.tap("button[value^='back ']")
    page.wait_for_function("() => document.querySelector('.tally-number').textContent == '2'")
    page.reload()
    assert page.inner_text(".tally-number") == "2"  # the server counts the same
    thumb.tap("button[value='skin']")
    page.wait_for_selector("button[value='where']")
    thumb.tap(".hands-compact a[href='#digit-L-index']")
    thumb.tap("#spot-L-index-tip")
    thumb.tap("button[value='where']")
    page.wait_for_url("**/me/session*")
    tries = page.input_value("input[name=hard_tries]")
    limited = page.locator("input[name=skin_limited]:checked").get_attribute("value")
    return f"{tries} {page.locator('input[name=surface]:checked').get_attribute('value')} {limited}"


def sent_photo(page: Any, address: str) -> tuple[bytes, str]:
    """Note damage with a photo that is full of canaries; returns the file that the form holds and where it led."""
    page.goto(f"{address}/me/damage")
    thumb = Thumb(page)
    thumb.zone("R-ring-middle", "R-ring")
    assert page.inner_text(".site-said").startswith("right ring, middle pad")
    thumb.choose("kind", "flapper")
    thumb.choose("bled", "yes")
    thumb.choose("length_mm", "7")
    page.set_input_files("input[name=photo]", {"name": "IMG_2041.JPG", "mimeType": "image/jpeg", "buffer": jpeg(6)})
    page.wait_for_selector(".photo-crop:not([hidden])")
    page.wait_for_function("() => document.querySelector('input[name=photo]').files[0].name == 'photo.jpg'")
    held = bytes(page.evaluate(HELD))
    thumb.tap(".send-row button")
    page.wait_for_url("**/me/hands*")
    page.locator("a[href^='/me/damage/d-']").first.click()
    page.wait_for_url("**/me/damage/*")
    page.wait_for_function("() => [...document.querySelectorAll('img.photo')].length")
    page.locator("img.photo").first.scroll_into_view_if_needed()
    page.wait_for_function("() => document.querySelector('img.photo').naturalWidth > 0")
    return held, page.url


def test_a_plain_day_takes_five_taps_and_a_bad_one_twelve(browser: Any, own_demo: Served) -> None:
    quiet = signed_in(browser, own_demo.address, "p-a24")
    nothing_preset(quiet, own_demo.address)
    began = time.monotonic()
    plain = plain_day(quiet, own_demo.address)
    print(f"plain day: {len(plain)} taps, {time.monotonic() - began:.1f} s with the pages' own waiting")
    assert len(plain) <= PLAIN
    hurt = signed_in(browser, own_demo.address, "p-a01")
    began = time.monotonic()
    bad = bad_day(hurt, own_demo.address)
    print(f"bad day: {len(bad)} taps, {time.monotonic() - began:.1f} s with the pages' own waiting")
    assert len(bad) <= BAD


@pytest.mark.parametrize("path", PAGES)
def test_everything_to_press_is_44_px_and_in_reach_of_either_thumb(browser: Any, own_demo: Served, path: str) -> None:
    page = signed_in(browser, own_demo.address, "p-a02")
    page.goto(own_demo.address + path)
    assert too_small(page) == []
    for hand in ("left", "right"):
        assert out_of_reach(page, MAIN, hand) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


MIRRORED = {
    "/me/check-in": (".send-row .button-main", ".yes-no .segments label:last-child"),
    "/me/tally": (".tally-buttons .button:nth-child(2)", ".tally-buttons .button:nth-child(3)"),
}


def held_in(page: Any, address: str, path: str, hand: str) -> list[tuple[float, float]]:
    """(from, to) across the page, in px, of what is mirrored, with the page as the hand has it."""
    page.goto(address + path)
    page.evaluate("hand => document.querySelector('.checkin').classList.toggle('left-handed', hand === 'left')", hand)
    boxes = [page.locator(one).first.bounding_box() for one in MIRRORED[path]]
    return [(box["x"], box["x"] + box["width"]) for box in boxes]


@pytest.mark.parametrize("path", MIRRORED)
def test_a_left_thumb_gets_the_mirror_of_a_right_ones_page(browser: Any, own_demo: Served, path: str) -> None:
    """What is pressed last, or most, stands at the side of the thumb. The page is that of the athlete's own hand."""
    page = signed_in(browser, own_demo.address, "p-a02")
    right, left = (held_in(page, own_demo.address, path, hand) for hand in ("right", "left"))
    middle = PHONE["width"] / 2
    for (a, b), (c, d) in zip(right, left, strict=True):
        assert (a + b) / 2 != pytest.approx(middle, abs=10)  # else the mirror would show nothing
        assert (c, d) == pytest.approx((PHONE["width"] - b, PHONE["width"] - a), abs=1.5)
    assert sum(right[0]) / 2 > middle > sum(left[0]) / 2
    for hand in ("right", "left"):
        held_in(page, own_demo.address, path, hand)
        assert out_of_reach(page, MAIN, hand) == []


def test_the_page_is_that_of_the_hand_one_climbs_with(browser: Any, own_demo: Served) -> None:
    with sqlite3.connect(own_demo.data / "tenpads.sqlite3") as base:
        codes = dict(base.execute("SELECT code, dominant_hand FROM records_athlete").fetchall())
    lefts = sorted(code for code, hand in codes.items() if hand == "left")
    rights = sorted(code for code, hand in codes.items() if hand == "right")
    assert lefts and rights
    for code, left in ((lefts[0], True), (rights[0], False)):
        page = signed_in(browser, own_demo.address, f"p-{code}")
        for path in (*MIRRORED, "/me/damage"):
            page.goto(own_demo.address + path)
            assert (page.locator(".checkin.left-handed").count() == 1) is left, (code, path)


@pytest.mark.parametrize("hand", ["left", "right"])
def test_every_question_of_a_check_in_is_in_reach_of_either_thumb(browser: Any, own_demo: Served, hand: str) -> None:
    """Scrolled to the lower half, as one does. The drawing of the hands at the top of the page cannot be scrolled down
    and is out of a thumb's reach there; every mark on it can be told by a note of damage, and none has to be.
    """
    page = signed_in(browser, own_demo.address, "p-a01")
    page.goto(f"{own_demo.address}/me/check-in")
    assert out_of_reach(page, "form.checkin label.segment, .send-row .button", hand) == []


def test_zones_of_a_digit_are_44_px(browser: Any, own_demo: Served) -> None:
    page = signed_in(browser, own_demo.address, "p-a02")
    for path in ("/me/check-in", "/me/damage"):
        page.goto(own_demo.address + path)
        assert zones_too_small(page, DIGITS) == []


@pytest.mark.parametrize(("user", "scripts"), [("p-a03", True), ("p-a04", False)], ids=["scripts", "no scripts"])
def test_a_session_is_counted_with_one_thumb(browser: Any, own_demo: Served, user: str, scripts: bool) -> None:
    page = signed_in(browser, own_demo.address, user, java_script_enabled=scripts)
    if not scripts:  # the helpers wait by script; what is pressed and where it leads is the same
        page.goto(f"{own_demo.address}/me/tally")
        for _ in range(2):
            with page.expect_navigation():
                page.locator("button[value='try plastic']").tap()
        assert page.inner_text(".tally-number") == "2"
        with page.expect_navigation():
            page.locator("button[value='skin']").tap()
        page.locator(".hands-compact a[href='#digit-L-index']").tap()
        page.locator("#spot-L-index-tip").tap()
        page.locator("button[value='where']").tap()
        page.wait_for_url("**/me/session*")
        assert page.input_value("input[name=hard_tries]") == "2"
        return
    assert count_tries(page, own_demo.address) == "2 plastic yes"


def test_a_photo_is_stripped_on_the_phone_and_again_by_the_server(browser: Any, own_demo: Served) -> None:
    page = signed_in(browser, own_demo.address, "p-a05")
    held, address = sent_photo(page, own_demo.address)
    assert held.startswith(b"\xff\xd8") and CANARY not in held and b"Exif" not in held
    with Image.open(io.BytesIO(held)) as found:
        assert found.size == (60, 60)  # the middle square of 80 by 60
    assert "/me/damage/d-" in address
    with sqlite3.connect(own_demo.data / "tenpads.sqlite3") as base:
        ((content,),) = base.execute("SELECT content FROM records_photo").fetchall()
    assert content[8:12] == b"WEBP" and CANARY not in content


def test_the_thumb_and_the_rule_find_what_is_too_small(browser: Any, own_demo: Served) -> None:
    """Planted: a button of 30 px, and one that only a right hand reaches on a wider page."""
    page = signed_in(browser, own_demo.address, "p-a02")
    page.goto(f"{own_demo.address}/me/tally")
    page.evaluate("() => { const b = document.createElement('button'); b.textContent = 'tiny'; b.style.cssText ="
                  " 'width:30px;height:30px;min-height:0;padding:0'; document.querySelector('main form').append(b); }")
    assert any("tiny" in one for one in too_small(page))
    page.set_viewport_size({"width": 900, "height": 844})
    away = "position:fixed;right:0;bottom:0;width:90px"
    page.evaluate("style => { document.querySelector('main form').style.cssText = style }", away)
    assert out_of_reach(page, "main form button", "left")
    assert not out_of_reach(page, "main form button[value=end]", "right")
