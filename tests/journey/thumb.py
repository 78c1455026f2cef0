"""A scripted thumb: it taps what it can see, one control at a time, and counts; and what a thumb can reach and hit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

LEAST_PX = 44
"""WCAG 2.2, 2.5.5 Target Size (Enhanced)."""
REACH_PX = 420
"""How far a thumb reaches from the lower corner of the hand that holds a phone 390 px (about 70 mm) wide: some 75 mm.
From memory and judgement; what is asked of it here is only that nothing hangs on one hand.
"""
CONTROLS = (
    "main a[href], main button, main label.segment, main select, main textarea, main summary,"
    " main input:not([type=hidden]):not([type=radio]):not([type=checkbox])"
)
SMALL = """(found, least) => found.filter(one => {
  const style = getComputedStyle(one), box = one.getBoundingClientRect();
  if (!box.width || !box.height || style.visibility === 'hidden' || one.closest('svg')) return false;
  if (one.closest('[hidden]') || one.closest('details:not([open])') && one.tagName !== 'SUMMARY') return false;
  if (style.clipPath !== 'none' && one.className.includes && one.className.includes('visually-hidden')) return false;
  return box.height < least - 0.5 || box.width < least - 0.5;
}).map(one => `${one.tagName} ${(one.innerText || one.name || '').trim().slice(0, 40)}: ` +
  `${Math.round(one.getBoundingClientRect().width)}x${Math.round(one.getBoundingClientRect().height)}`)"""
ZONES = """(found, least) => found.map(one => [one.getAttribute('href'), one.getBoundingClientRect()])
  .filter(([_, box]) => box.width && (box.width < least - 0.5 || box.height < least - 0.5))
  .map(([name, box]) => `${name}: ${Math.round(box.width)}x${Math.round(box.height)}`)"""


@dataclass
class Thumb:
    """Counts taps on a page. A control that is out of sight is scrolled to, which costs no tap."""

    page: Any
    taps: list[str] = field(default_factory=list)

    def tap(self, what: str) -> None:
        """Tap the first visible control that the selector finds."""
        found = self.page.locator(what).first
        found.scroll_into_view_if_needed()
        box = found.bounding_box()
        assert box is not None, f"{what} is not to be seen"
        self.page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        self.taps.append(what)

    def choose(self, name: str, value: str) -> None:
        """Tap the box of one answer."""
        self.tap(f"label.segment:has(input[name='{name}'][value='{value}'])")

    def zone(self, site: str, digit: str) -> None:
        """Tap a digit on the hands, then the place on the digit."""
        self.tap(f".hands-compact a[href='#digit-{digit}']")
        self.tap(f"#digit-{digit} a[href='#spot-{site}']")


def too_small(page: Any) -> list[str]:
    """Everything to press in the page that is under 44 px either way, drawings of hands apart: there one tap opens a
    digit, and `zones_too_small` holds what it opens.
    """
    return list(page.locator(CONTROLS).evaluate_all(SMALL, LEAST_PX))


def zones_too_small(page: Any, digits: Iterable[str]) -> list[str]:
    """Zones of the digits, each opened in its turn, that are under 44 px either way."""
    found: list[str] = []
    for digit in digits:
        page.evaluate("(name) => { location.hash = name }", f"digit-{digit}")
        found += page.locator(f"#digit-{digit} a.zone-link").evaluate_all(ZONES, LEAST_PX)
    return found


AT_THE_END = """one => { one.scrollIntoView({ block: "end" }); return one.getBoundingClientRect().toJSON(); }"""
"""In one go: a line that a script puts in between would move it away again."""


def out_of_reach(page: Any, selector: str, hand: str) -> list[str]:
    """Controls whose nearest 44 px are farther from the hand's lower corner than a thumb reaches, each scrolled to the
    lower half first, as one does.
    """
    width, height = page.viewport_size["width"], page.viewport_size["height"]
    corner = 0 if hand == "left" else width
    found = []
    for one in page.locator(selector).all():
        if not one.is_visible():
            continue
        box = one.evaluate(AT_THE_END)
        near = min(max(corner, box["x"] + LEAST_PX / 2), box["x"] + box["width"] - LEAST_PX / 2)
        low = box["y"] + box["height"] - LEAST_PX / 2
        if ((near - corner) ** 2 + (low - height) ** 2) ** 0.5 > REACH_PX:
            found.append(f"{one.inner_text()[:30]}: {near:.0f}, {low:.0f}")
    return found
