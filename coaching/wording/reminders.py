"""Words of the page on which somebody asks to be reminded. What is sent says none of them."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

KINDS = {
    "morning": (_("The morning check-in"), _("where you have not sent it yet")),
    "session": (_("After a planned session"), _("where nothing is told of it yet")),
    "step": (_("A step of today"), _("where one is not told of yet")),
    "look": (_("A look due today"), _("at a place that is to be looked at")),
    "moved": (_("Last days that moved"), _("once for all of them, where one is another than yesterday")),
}
PROBLEMS = {
    "quiet": _("That is within the hours in which you want no message."),
    "no-address": _("That is no mail address."),
    "too-often": _("That was asked too often today. Try again tomorrow."),
    "too-many": _("That is one browser too many. End one first."),
    "unknown-code": _("That cannot be taken."),
}


def kind(code: str) -> str:
    return str(KINDS[code][0])


def when(code: str) -> str:
    """On which condition."""
    return str(KINDS[code][1])


def problem(code: str) -> str:
    return str(PROBLEMS.get(code, PROBLEMS["unknown-code"]))


def clock(minute: int) -> str:
    """07:15, as a field for a time reads it."""
    return f"{minute // 60:02}:{minute % 60:02}"


def minute(text: str) -> int:
    """The minute of the day that such a field says. Raises ValueError for what is none."""
    hours, colon, minutes = text[:5].partition(":")
    digits = hours + minutes
    if not (colon and len(hours) == len(minutes) == 2 and digits.isascii() and digits.isdecimal()):
        raise ValueError(text)
    found = int(hours) * 60 + int(minutes)
    if int(minutes) > 59 or found > 1439:
        raise ValueError(text)
    return found
