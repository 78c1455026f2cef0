"""My hands: what was open and how long it took, what is believed and how surely."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.utils.translation import gettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from athletes.pages.drawings import digit_codes, drawn, labels
from athletes.pages.wards import Whom, own_or_ward
from coaching.drawing.hands import SiteMark, draw_hands
from coaching.drawing.zones import all_sites
from coaching.usecases.my_hands import MyHands, my_hands
from coaching.wording import care, sites
from coaching.wording import my_hands as words


@own_or_ward
@require_safe
@never_cache
def hands(request: HttpRequest, whom: Whom) -> HttpResponse:
    """The athlete's own, or a guardian's minor's as far as it is shared."""
    found = my_hands(whom.viewer, whom.code)
    past = found.past or ()
    shown = {
        "found": found, "whom": whom, "here": "hands",
        "picture": _picture(found),
        "open": [(one.episode_id, words.one(one, found.as_of)) for one in past if one.sound_on is None],
        "digits": _digits(found),
        "groups": [
            (heading, [words.one(one, found.as_of) for one in held if one.sound_on is not None])
            for heading, held in words.groups(past)
        ],
        "believed": words.believed(found.believed) if found.believed else [],
        "rests_on": words.rests_on(found.believed) if found.believed else "",
    }  # fmt: skip
    return render(request, "athletes/hands.html", shown)


def _digits(found: MyHands) -> list[tuple[str, str, list[tuple[str, str]]]]:
    """(code, name, cases as (episode, words)) of every digit and palm: one's own history, finger by finger."""
    held = words.by_digit(found.past or ())
    return [
        (code, sites.digit(code), [(one.episode_id, words.one(one, found.as_of)) for one in held.get(code, [])])
        for code in digit_codes()
    ]


def _picture(found: MyHands) -> SafeString:
    """Both hands with what is not sound yet, each digit leading to its history; of two at one site the later noticed.
    """
    known = {site.code for site in all_sites()}
    marks = {
        one.site: SiteMark(
            one.stage, f"{sites.site(one.site)}: {care.state_phrase(one.kind, one.stage)}",
            word=care.stage(one.stage), kind=one.kind,
        )
        for one in reversed(found.past or ())
        if one.sound_on is None and one.site in known
    }  # fmt: skip
    names = labels(gettext("Hands: what is not sound yet; tap a digit for its history"))
    return drawn(draw_hands(marks, labels=names, link_prefix="#own-", compact=True))
