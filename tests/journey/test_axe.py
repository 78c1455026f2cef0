"""Every page of the demo, in a browser: axe-core finds nothing in light and dark, the policy refuses nothing, no other
host is asked, nothing runs over the edge at three widths and with letters of double size, and no page is heavy.

axe-core 4.14.1 (MPL-2.0), rules of WCAG 2.0, 2.1 and 2.2, levels A and AA; 200 % text is success criterion 1.4.4.
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

import pytest

from tests.journey import looked
from tests.journey.served import Served
from tests.journey.test_checkin_in_browser import signed_in

VENDOR = Path(__file__).parents[2] / "fixtures" / "vendor"
IDS = {"athletes": "a01", "events": "e-orlevo", "places": "p-home", "squad": "a02"}
WALKS = {"p-coach": "coaching.pages.urls", "p-a01": "athletes.pages.urls"}
FEWEST = {"p-coach": 20, "p-a01": 10}
MOST_KB = 150
BROKEN = """() => { const p = document.createElement('p');
  p.textContent = 'too pale to be read'; p.style.color = '#ddd';
  p.style.width = '3000px'; const img = document.createElement('img');
  document.querySelector('main').prepend(p, img); }"""


def test_the_checker_is_the_one_whose_checksum_was_noted() -> None:
    listed = dict(line.split("  ")[::-1] for line in (VENDOR / "SHA256SUMS").read_text().splitlines())
    found = {str(p.relative_to(VENDOR)) for p in VENDOR.rglob("*") if p.is_file()} - {"SHA256SUMS"}
    assert found == set(listed)
    for name, digest in listed.items():
        assert hashlib.sha256((VENDOR / name).read_bytes()).hexdigest() == digest, name
    assert looked.AXE.startswith("/*! axe v4.14.1") and "Mozilla Public License" in (VENDOR / "axe/LICENSE").read_text()


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.parametrize("user", WALKS)
def test_every_page_can_be_read_and_nothing_leaves_the_host(browser: Any, demo: Served, user: str) -> None:
    page = signed_in(browser, demo, user, service_workers="block")
    page.add_init_script(f"({looked.HEARD})()")
    walked = [looked.look(page, demo.address, path) for path in looked.addresses(IDS, WALKS[user])]
    seen = [one for one in walked if one is not None]
    for one in seen:
        print(f"{one.path}: {one.kilobytes:.0f} kB, largest paint after {one.lcp_ms:.0f} ms")
    assert len(seen) >= FEWEST[user]
    assert {one.path: one.found for one in seen if one.found} == {}
    assert {one.path: one.refused for one in seen if one.refused} == {}
    assert {one.path: one.elsewhere for one in seen if one.elsewhere} == {}
    assert {one.path: one.over for one in seen if one.over} == {}
    assert {one.path: one.kilobytes for one in seen if one.kilobytes > MOST_KB} == {}


@pytest.mark.browser
def test_what_is_planted_is_found(browser: Any, demo: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    """Grey on white, a picture without words, a line over the edge, and a script and a picture of somebody else's."""
    page = signed_in(browser, demo, "p-a01", service_workers="block")
    page.add_init_script(f"({looked.HEARD})()")
    page.add_init_script(f"addEventListener('DOMContentLoaded', {BROKEN})")
    page.add_init_script("""addEventListener('DOMContentLoaded', () => { const one = document.createElement('script');
      one.src = 'http://elsewhere.invalid/a.js'; document.head.append(one); })""")
    seen = looked.look(page, demo.address, "/me/who-looked")
    assert seen is not None
    found = {said.split(": ")[1] for said in seen.found if said.startswith("light")}
    assert found >= {"color-contrast", "image-alt"}
    assert any(said.startswith("390") for said in seen.over)
    assert any("script-src" in said for said in seen.refused)
