"""Drawings for the athlete's own pages: hands to tap, one digit large, a small hand beside a step."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from athletes.records.queries import EpisodeRecord
from coaching.drawing.cuts import draw_stage
from coaching.drawing.digit_view import draw_digit
from coaching.drawing.hands import SiteMark, draw_hands, draw_one_hand
from coaching.drawing.zones import DIGITS, HANDS, PALM, all_sites, parse_site
from coaching.usecases.shown import CheckInForm
from coaching.wording import care, sites


def drawn(svg: str) -> SafeString:
    """A finished drawing. `coaching.drawing` escapes every word and every attribute it is given."""
    return mark_safe(svg)  # noqa: S308


@cache
def digit_codes() -> tuple[str, ...]:
    """What one tap on the hands opens: ten digits, and the zones of both palms."""
    fingers = [f"{hand}-{digit}" for hand in HANDS for digit in DIGITS]
    return (*fingers, *(f"{hand}-{zone}" for hand in HANDS for zone in PALM))


@cache
def sites_of(code: str) -> tuple[str, ...]:
    """The sites behind one tap: the zones of a digit, or the one zone of a palm."""
    return tuple(
        site.code for site in all_sites() if site.code == code or f"{site.hand}-{site.digit}" == code
    )


def labels(title: str) -> dict[str, str]:
    """Names that a drawing of hands needs."""
    names = sites.all_names(site.code for site in all_sites())
    digits = {code: sites.digit(code) for code in digit_codes()}
    return {"title": title, "left": gettext("left"), "right": gettext("right"), **names, **digits}


def tappable_hands(asked: CheckInForm) -> SafeString:
    """Both hands, ten digits to press, with what is open marked on them."""
    names = labels(gettext("Your hands: tap a digit"))
    return drawn(draw_hands(episode_marks(asked), labels=names, link_prefix="#digit-", compact=True))


def digit(code: str, asked: CheckInForm) -> SafeString:
    """One digit large, each zone leading to its boxes; palms have no picture of their own."""
    hand, _sign, name = code.partition("-")
    if name not in DIGITS:
        return SafeString("")
    marks = {site: mark for site, mark in episode_marks(asked).items() if site.startswith(f"{code}-")}
    names = {"title": sites.digit(code), **{site: sites.site(site) for site in sites_of(code)}}
    return drawn(draw_digit(hand, name, marks, labels=names, link_prefix="#spot-"))


def episode_marks(asked: CheckInForm) -> dict[str, SiteMark]:
    """Open episodes as marks on the hand, as they were last seen."""
    return marks_of(asked.episodes)


def marks_of(episodes: Iterable[EpisodeRecord]) -> dict[str, SiteMark]:
    """Episodes as marks on the hand, as they were last seen."""
    found = {}
    for episode in episodes:
        if any(site.code == episode.site for site in all_sites()):
            stage = episode.stage_before or "open"
            said = f"{sites.site(episode.site)}: {care.state_phrase(episode.kind, stage)}"
            found[episode.site] = SiteMark(stage, said, word=care.stage(stage), kind=episode.kind)
    return found


def stage(code: str) -> SafeString:
    """A stage of damage as a cut seen from the side."""
    return drawn(draw_stage(code, care.stage(code)))


def small_hands(codes: Iterable[str], key: str) -> list[SafeString]:
    """One small hand for each hand that the sites lie on, ringed; `key` keeps ids apart on the page."""
    places = [code for code in codes if any(site.code == code for site in all_sites())]
    pictures = []
    for hand in dict.fromkeys(parse_site(code).hand for code in places):
        title = sites.site_list(code for code in places if code.startswith(hand))
        marks = {code: SiteMark("sound", sites.site(code)) for code in places}
        names = labels(title)
        pictures.append(drawn(draw_one_hand(hand, marks, labels=names, key=f"{key}-{hand}")))
    return pictures
