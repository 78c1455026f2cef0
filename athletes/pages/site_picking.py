"""One place on the hands, chosen by tapping: the hands open a digit, the digit its zones."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from athletes.pages import drawings
from coaching.drawing.digit_view import draw_digit
from coaching.drawing.hands import SiteMark, draw_hands
from coaching.drawing.zones import DIGITS
from coaching.wording import sites


@dataclass(frozen=True)
class DigitPick:
    """One digit large, or one zone of a palm, with a button for each of its zones: (code, name, chosen)."""

    code: str
    name: str
    picture: SafeString
    zones: tuple[tuple[str, str, bool], ...]


@dataclass(frozen=True)
class SitePick:
    """The whole question. `chosen` is a site code or empty; `marks` is drawn on the hands already."""

    chosen: str
    marks: Mapping[str, SiteMark]
    error: str = ""

    @property
    def hands(self) -> SafeString:
        names = drawings.labels(gettext("Your hands: tap a digit"))
        return drawings.drawn(draw_hands(self.marks, labels=names, link_prefix="#digit-", compact=True))

    @property
    def digits(self) -> list[DigitPick]:
        return [self._digit(code) for code in drawings.digit_codes()]

    @property
    def said(self) -> str:
        return sites.site(self.chosen) if self.chosen else ""

    def _digit(self, code: str) -> DigitPick:
        codes = drawings.sites_of(code)
        zones = tuple((site, sites.zone(site), site == self.chosen) for site in codes)
        return DigitPick(code, sites.digit(code), self._picture(code, codes), zones)

    def _picture(self, code: str, codes: tuple[str, ...]) -> SafeString:
        hand, _sign, name = code.partition("-")
        if name not in DIGITS:
            return SafeString("")
        marks = {site: mark for site, mark in self.marks.items() if site.startswith(f"{code}-")}
        names = {"title": sites.digit(code), **{site: sites.site(site) for site in codes}}
        return drawings.drawn(draw_digit(hand, name, marks, labels=names, link_prefix="#spot-"))
