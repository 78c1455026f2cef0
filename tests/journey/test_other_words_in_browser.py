"""Pages in other words: in German and French, with every word longer by two fifths, and read from right to left, none
runs over the edge of a phone.

Two fifths: what texts of ten to thirty letters grow by at least when English is translated, "Text size in
translation", W3C Internationalization. Right to left: CSS Logical Properties and Values Level 1.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.journey import looked
from tests.journey.served import Served
from tests.journey.test_axe import FEWEST, IDS, WALKS
from tests.journey.test_checkin_in_browser import signed_in

LONGER = """() => { const all = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT); let node;
  while ((node = all.nextNode())) if (!node.parentElement.closest('script, style, svg'))
    node.data = node.data.replace(/\\p{L}{2,}/gu, word => word + word.slice(0, Math.ceil(word.length * 0.4))); }"""
RIGHT_TO_LEFT = "() => { document.documentElement.dir = 'rtl'; }"
OVER_EITHER = looked.OVER.replace(
    "e.getBoundingClientRect().right > root.clientWidth + 1",
    "(e.getBoundingClientRect().right > root.clientWidth + 1 || e.getBoundingClientRect().left < -1)",
)
WIDTHS = (390, 1440)
STYLES = Path(__file__).parents[2]
PHYSICAL = re.compile(
    r"(?<![\w-])((?:margin|padding|border)-(?:left|right)\b|(?:left|right)\s*:|text-align:\s*(?:left|right)"
    r"|float:\s*(?:left|right)|clear:\s*(?:left|right)|border-(?:top|bottom)-(?:left|right)-radius)"
)
ON_BOTH_SIDES = {".level-out-of-reach::after"}
"""Rules that lie over the same square whichever way one reads."""


def over(page: Any) -> str:
    """What runs over an edge, looked at again after a moment: a chart is drawn anew."""
    found = page.evaluate(OVER_EITHER)
    if found is not None:
        page.wait_for_timeout(700)
        found = page.evaluate(OVER_EITHER)
    return "" if found is None else ", ".join(found) or "something"


def opened(page: Any, address: str, path: str) -> bool:
    answer = page.goto(address + path, wait_until="load")
    return answer is not None and answer.status == 200 and "text/html" in answer.headers.get("content-type", "")


def reads(page: Any, address: str, language: str) -> None:
    page.goto(f"{address}/account")
    page.select_option("select[name=language]", language)
    page.click("#reading button")
    page.wait_for_selector(f"html[lang={language}]")


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.parametrize("user", WALKS)
def test_longer_words_and_the_other_direction_run_over_no_edge(browser: Any, demo: Served, user: str) -> None:
    page = signed_in(browser, demo, user, service_workers="block")
    page.set_viewport_size({"width": 390, "height": 844})
    seen, found = 0, {}
    for path in looked.addresses(IDS, WALKS[user]):
        if not opened(page, demo.address, path):
            continue
        seen += 1
        page.evaluate(RIGHT_TO_LEFT)
        if said := over(page):
            found[f"{path}, right to left"] = said
        page.evaluate(LONGER)
        if said := over(page):
            found[f"{path}, longer"] = said
    assert seen >= FEWEST[user]
    assert found == {}


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.parametrize("language", ["de", "fr"])
def test_german_and_french_run_over_no_edge(browser: Any, demo: Served, language: str) -> None:
    found = {}
    for user, module in WALKS.items():
        page = signed_in(browser, demo, user, service_workers="block")
        reads(page, demo.address, language)
        try:
            for path in looked.addresses(IDS, module):
                page.set_viewport_size({"width": WIDTHS[0], "height": 844})
                if not opened(page, demo.address, path):
                    continue
                for width in WIDTHS:
                    page.set_viewport_size({"width": width, "height": 844})
                    if said := over(page):
                        found[f"{path} at {width}"] = said
        finally:
            reads(page, demo.address, "en")
    assert found == {}


@pytest.mark.browser
def test_what_runs_over_is_found(browser: Any, demo: Served) -> None:
    """Over the right edge, and over the left one where one reads from there."""
    page = signed_in(browser, demo, "p-a01", service_workers="block")
    assert opened(page, demo.address, "/me/who-looked")
    assert over(page) == ""
    page.evaluate("() => { document.querySelector('h1').style.cssText = 'white-space: nowrap; width: 500px' }")
    assert over(page) != ""
    page.evaluate(RIGHT_TO_LEFT)
    assert over(page) != ""


def rules(text: str) -> list[tuple[str, str]]:
    """(selector, declarations) of each rule without rules inside it."""
    plain = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
    return [(head.strip(), body) for head, body in re.findall(r"([^{}]+)\{([^{}]*)\}", plain)]


def test_no_style_says_left_or_right_where_start_and_end_would_do() -> None:
    assert PHYSICAL.search("margin-left: 4px") and PHYSICAL.search("left: 0") and not PHYSICAL.search("inline-start: 0")
    sheets = [
        path for path in STYLES.glob("*/*/static/tenpads/**/*.css") if "vendor" not in path.parts
    ]  # fmt: skip
    assert len(sheets) > 5
    found = [
        f"{path.name}: {head} {said}" for path in sheets for head, body in rules(path.read_text(encoding="utf-8"))
        for said in PHYSICAL.findall(body) if head.split()[-1] not in ON_BOTH_SIDES
    ]  # fmt: skip
    assert found == []
