"""The note of damage in plain words: what each kind looks like, questions about depth, why a photo is not taken."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from athletes.records.photos.cleaning import MOST_MB
from coaching.wording.dates import weekday
from coaching.wording.numbers import in_figures

KINDS_SEEN = {
    "split": _("a line torn open"),
    "flapper": _("skin lifted like a flap"),
    "tear": _("a piece torn off"),
    "blister": _("fluid or blood under the skin"),
    "cut": _("from an edge or a blade"),
    "graze": _("scraped off"),
    "holed": _("worn through, wet or red"),
}
STAGES_SEEN = {
    "open": _("you can see into it, or it bleeds or weeps"),
    "closing": _("dry on the ground, edges still apart"),
    "rimmed": _("closed, with hard dead edges round it"),
    "thinned": _("edges filed off, smooth and thin"),
    "sound": _("like the skin beside it"),
}
WORRIES = {
    "dirty": _("dirt that does not rinse out"),
    "gaping": _("it gapes: at rest the edges stand well apart"),
    "object-inside": _("something is still inside"),
    "bite": _("from a bite"),
    "tetanus-unknown": _("tetanus doses not known, and it is deep or dirty"),
}
LENGTHS_MM = (2, 4, 7, 10, 15, 20)
CIRCLE_MM = 20
PHOTO_REFUSED = {
    "empty": _("The file is empty."),
    "too-big": _("The file is over {most} MB."),
    "wrong-type": _("This is no photo that can be taken: send a JPEG, PNG or WebP."),
    "broken": _("The file is broken or only half there."),
    "animated": _("This is a moving picture."),
    "more-in-it": _("There is more in the file than a photo, a film perhaps. Take a plain photo."),
    "too-many-pixels": _("The picture has too many pixels, over 24 million."),
    "too-small": _("The picture is too small to see anything on."),
}


def photo_refused(code: str) -> str:
    """Why, and what to do; everything else that was answered stands on the page."""
    why = str(PHOTO_REFUSED[code]).format(most=MOST_MB)
    return gettext("%(why)s Nothing else is lost: choose another photo, or send without one.") % {"why": why}


def too_many() -> str:
    return gettext("That is as many photos as are kept of one day. Take one away first, or send without one.")


def length(mm: float | None) -> str:
    """ "about 4 mm long", or nothing."""
    return "" if mm is None else gettext("about %(n)s mm") % {"n": in_figures(mm)}


def worries(codes: Iterable[str]) -> list[str]:
    return [str(WORRIES[code]) for code in codes if code in WORRIES]


def next_looks(days: Iterable[date], today: date) -> str:
    """ "Look again: today and Sat 13." """
    said = [gettext("today") if day == today else weekday(day, today) for day in days]
    if not said:
        return ""
    return gettext("Next looks: %(first)s; then %(second)s, by somebody else’s eyes as well.") % {
        "first": said[0], "second": said[-1],
    }  # fmt: skip


def kept_days(made_on: date, today: date, most: int) -> str:
    """How long a photo is still kept."""
    left = max(0, most - (today - made_on).days)
    return ngettext("kept %(n)d more day", "kept %(n)d more days", left) % {"n": left}
