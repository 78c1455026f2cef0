"""Both hands over time as the template reads them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from urllib.parse import urlencode

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from coaching.drawing.hands import SiteMark, draw_hands
from coaching.drawing.site_strip import StateRun, draw_cases, draw_site_strip
from coaching.drawing.zones import all_sites
from coaching.pages import pictures
from coaching.usecases.hands_over_time import STRIP_DAYS, HandsOn, HandsOverTime, Pair
from coaching.usecases.my_hands import PastEpisode
from coaching.usecases.see_photo import sign
from coaching.wording import care, dates, my_hands, sites
from coaching.wording import hands_over_time as words


@dataclass(frozen=True)
class DayShown:
    """One of the two days: its name, what stood, the drawing, links a day and a week to either side."""

    day: str
    iso: str
    known: str
    picture: SafeString
    states: list[str]
    moves: list[tuple[str, str]]


@dataclass(frozen=True)
class SiteShown:
    code: str
    name: str
    strip: SafeString
    said: str


@dataclass(frozen=True)
class CasesShown:
    heading: str
    picture: SafeString
    note: str
    lines: list[str]


@dataclass(frozen=True)
class PhotoOfPair:
    name: str
    signature: str
    when: str


@dataclass(frozen=True)
class HandsPage:
    """The whole page. `here` is its address without a query; `turned`: as somebody sees them who stands opposite."""

    found: HandsOverTime
    here: str
    turned: bool
    session_key: str | None

    @property
    def shared(self) -> bool:
        return self.found.now is not None

    @property
    def turn_address(self) -> str:
        return self._address(turned=not self.turned)

    @property
    def days(self) -> list[DayShown]:
        then, now = self.found.then, self.found.now
        return [self._day("then", then), self._day("now", now)] if then and now else []

    def _day(self, which: str, found: HandsOn) -> DayShown:
        said = words.states(found)
        back = ((-7, gettext("a week back")), (-1, gettext("a day back")))
        steps = (*back, (1, gettext("a day on")), (7, gettext("a week on")))
        moves = [
            (self._address(**{which: day}), word)
            for n, word in steps
            if (day := found.day + timedelta(days=n)) <= self.found.today
        ]
        return DayShown(
            dates.heading_day(found.day), found.day.isoformat(), words.known(found), self._picture(which, found),
            [f"{sites.site(site)}: {state}" for site, state in said.items()], moves,
        )  # fmt: skip

    def _picture(self, which: str, found: HandsOn) -> SafeString:
        marks = {one.site: SiteMark(one.mark, f"{sites.site(one.site)}: {care.MARKS[one.mark]}") for one in found.marks}
        for one in found.damage:
            said = f"{sites.site(one.site)}: {care.state_phrase(one.kind, one.stage)}"
            marks[one.site] = SiteMark(one.stage, said, kind=one.kind)
        known = {site: mark for site, mark in marks.items() if site in pictures.sites_known()}
        labels = pictures.hand_labels(
            gettext("Both hands on %(day)s") % {"day": dates.heading_day(found.day)}
        )
        nothing = gettext("%(site)s: nothing marked")
        labels |= {s.code: nothing % {"site": labels[s.code]} for s in all_sites()}
        drawn = draw_hands(
            known, labels=labels, link_prefix="#site-", turned=self.turned, compact=True, by_zone=True,
            key=f"hands-{which}",
        )  # fmt: skip
        return pictures.drawn(drawn)

    @property
    def changes(self) -> list[str]:
        then, now = self.found.then, self.found.now
        return words.changes(then, now) if then and now else []

    @property
    def span(self) -> str:
        first = self.found.today - timedelta(days=STRIP_DAYS - 1)
        return dates.span(first, self.found.today, self.found.today)

    @property
    def sites(self) -> list[SiteShown]:
        """Sites that something was at within the strip, those first at which something is now."""
        today, first = self.found.today, self.found.today - timedelta(days=STRIP_DAYS - 1)
        held = words.by_site(self.found.runs)
        shown = []
        for n, site in enumerate(sorted(held, key=lambda one: (held[one][-1].last < today, one))):
            runs = held[site]
            name, said = sites.site(site), words.runs(runs, today)
            strip = draw_site_strip(
                [StateRun(one.state, one.first, one.last) for one in runs], first, STRIP_DAYS,
                f"{name}: {said}", f"strip-{n}",
            )
            shown.append(SiteShown(site, name, pictures.drawn(strip), said))
        return shown

    @property
    def quiet_sites(self) -> list[tuple[str, str]]:
        """(code, name) of every other site, so that each zone of the drawing leads somewhere."""
        loud = {one.site for one in self.found.runs}
        return [(s.code, sites.site(s.code)) for s in all_sites() if s.code not in loud]

    @property
    def cases(self) -> list[CasesShown]:
        return [self._cases(heading, held) for heading, held in my_hands.groups(self.found.past)]

    def _cases(self, heading: str, held: list[PastEpisode]) -> CasesShown:
        today = self.found.today
        days = [one.days for one in reversed(held) if one.days is not None]
        few = len(days) < words.FEW
        open_now = [one for one in held if one.sound_on is None]
        at = (today - open_now[0].noticed_on).days if open_now else None
        picture = draw_cases(days, at, heading, gettext("days"), few) if days else ""
        lines = [my_hands.one(one, today) for one in held]
        return CasesShown(heading, pictures.drawn(picture), words.cases(days, few) if days else "", lines)

    @property
    def photos_shared(self) -> bool:
        return self.found.pairs is not None

    @property
    def pairs(self) -> list[tuple[str, list[PhotoOfPair]]]:
        return [(sites.site(one.site), self._pair(one)) for one in self.found.pairs or ()]

    def _pair(self, pair: Pair) -> list[PhotoOfPair]:
        photos = [pair.then] if pair.then.name == pair.now.name else [pair.then, pair.now]
        return [
            PhotoOfPair(one.name, sign(one.name, self.session_key), dates.heading_day(one.local_date)) for one in photos
        ]

    def _address(self, turned: bool | None = None, **days: date) -> str:
        assert self.found.then is not None and self.found.now is not None  # noqa: S101 - only asked where it is shared
        asked = {"then": self.found.then.day, "now": self.found.now.day, **days}
        query = {name: day.isoformat() for name, day in asked.items()}
        if self.turned if turned is None else turned:
            query["turned"] = "1"
        return f"{self.here}?{urlencode(query)}"
