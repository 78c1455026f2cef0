"""Words of the squad's roster, of events made by hand and of sessions planned."""

from __future__ import annotations

from typing import Protocol

from django.utils.dates import WEEKDAYS_ABBR
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.wording.sentences import series

HANDS = {"left": _("left"), "right": _("right")}
SKIN_KINDS = {"damp": _("damp"), "mixed": _("mixed"), "dry": _("dry")}
STYLES = {
    "crimp": _("crimps"), "pocket": _("pockets"), "sloper": _("slopers"), "jug": _("jugs"), "pinch": _("pinches"),
    "swing": _("swings and jumps"), "crack": _("cracks"),
}  # fmt: skip
SHARED = {
    "level": _("level"), "checkins": _("check-ins"), "notes": _("notes"), "photos": _("photos"),
    "damage": _("damage"),
}  # fmt: skip
TAKEN = {
    "event": _("event"), "travel": _("travel"), "illness": _("ill"), "water": _("hands in water"), "other": _("away"),
}  # fmt: skip


class Planned(Protocol):
    """All that is planned on one day."""

    minutes: float | None
    sessions: int


def weekdays(first: int = 0) -> list[tuple[int, str]]:
    """The seven days from `first` on, 0 is Monday and 6 Sunday, in the reader's language."""
    return [(n % 7, str(WEEKDAYS_ABBR[n % 7])) for n in range(first, first + 7)]


def shared(classes: frozenset[str]) -> str:
    """ "level, check-ins and damage", or that nothing is shared; never why."""
    if not classes:
        return gettext("not shared")
    return series(str(words) for code, words in SHARED.items() if code in classes)


def roster(n: int, squad: str) -> str:
    """The headline of the squad's page."""
    if not n:
        return gettext("Nobody is in %(squad)s yet.") % {"squad": squad}
    return ngettext("%(n)d athlete in %(squad)s.", "%(n)d athletes in %(squad)s.", n) % {"n": n, "squad": squad}


def added(n: int) -> str:
    """How many athletes were added."""
    return ngettext(
        "%(n)d athlete added. They share nothing until they say so themselves.",
        "%(n)d athletes added. They share nothing until they say so themselves.", n,
    ) % {"n": n}  # fmt: skip


def previewed(new: int, known: int) -> str:
    """What a spreadsheet would do."""
    said = ngettext("%(n)d athlete to add, nothing stored yet", "%(n)d athletes to add, nothing stored yet", new)
    if not known:
        return said % {"n": new}
    more = ngettext("%(n)d is in the squad already", "%(n)d are in the squad already", known) % {"n": known}
    return f"{said % {'n': new}}; {more}"


def things(n: int) -> str:
    """How many rows must be put right."""
    return ngettext("%(n)d thing to put right", "%(n)d things to put right", n) % {"n": n}


def planned(n: int) -> str:
    """How many sessions were planned."""
    return ngettext("%(n)d session planned.", "%(n)d sessions planned.", n) % {"n": n}


def taken_off(n: int) -> str:
    """How many planned sessions were taken off."""
    if not n:
        return gettext("Nothing was planned for them on these days.")
    return ngettext("%(n)d planned session taken off.", "%(n)d planned sessions taken off.", n) % {"n": n}


def entries(n: int) -> str:
    """How many entries were changed."""
    if not n:
        return gettext("Nothing changed: the entries are as they were.")
    return ngettext("%(n)d entry changed.", "%(n)d entries changed.", n) % {"n": n}


def day_planned(found: Planned | None) -> str:
    """The cell of a day: minutes, 0 for a day taken off, a question mark where the length is not known."""
    if found is None:
        return ""
    if found.minutes is None:
        return gettext("? min")
    return gettext("%(n)d min") % {"n": round(found.minutes)}


def sampled(n: int) -> str:
    """What came of the press."""
    return ngettext(
        "%(n)d invented athlete added. The list fills within a minute.",
        "%(n)d invented athletes added. The list fills within a minute.", n,
    ) % {"n": n}  # fmt: skip


def sample_gone(n: int) -> str:
    """What came of the other."""
    return ngettext(
        "The sample is gone: %(n)d invented athlete, with everything of theirs.",
        "The sample is gone: %(n)d invented athletes, with everything of theirs.", n,
    ) % {"n": n}  # fmt: skip
