"""The four levels and "not known": words, the square that stands beside them, and counts."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.utils.translation import gettext, ngettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from coaching.usecases.shown import EntryShown
from coaching.wording.dates import days_ahead, event_day, weekday
from coaching.wording.sentences import series

LEVELS = {
    "out-of-reach": _("out of reach"),
    "act": pgettext_lazy("level", "act"),
    "tight": pgettext_lazy("level", "tight"),
    "not-known": _("not known"),
    "on-course": _("on course"),
}
ORDER = tuple(LEVELS)
"""The order of the morning list: what needs the coach first."""

EVENT_KINDS = {"competition": _("competition"), "trip": _("trip")}


def level(code: str) -> str:
    """The word for a level."""
    return str(LEVELS[code])


def level_order(code: str) -> int:
    """Place of a level in the morning list, 0 first."""
    return ORDER.index(code)


def level_for_event(entry: EntryShown, as_of: date) -> str:
    """ "for Lindmark Cup: act by Thu 18"."""
    return gettext("for %(event)s: %(level)s") % {"event": entry.event.name, "level": level_by(entry, as_of)}


def level_by(entry: EntryShown, as_of: date) -> str:
    """ "act by Thu 18" where a reason has a date ahead, else the level alone."""
    by = next((r.date for r in entry.reasons if r.date is not None and r.date >= as_of), None)
    if entry.level == "act" and by is not None:
        return gettext("%(level)s by %(day)s") % {"level": level(entry.level), "day": weekday(by, as_of)}
    return level(entry.level)


def event_when(entry: EntryShown, as_of: date) -> str:
    """ "Lindmark Cup in 9 days"; while it runs, until when."""
    event = entry.event
    if event.first_day <= as_of <= event.last_day:
        return gettext("%(event)s, until %(day)s") % {"event": event.name, "day": event_day(event.last_day)}
    return gettext("%(event)s %(when)s") % {"event": event.name, "when": days_ahead(event.first_day, as_of)}


def skin_only() -> str:
    """The caption that stands once on every page with levels."""
    return gettext("Skin only, not a medical clearance.")


def headline(to_decide: Iterable[str], not_known: int, squad_size: int) -> str:
    """The decision with names: "Decide for A, B and C. Two are not known." """
    names = list(to_decide)
    first = _names_first(names, squad_size)
    if not not_known:
        return first
    second = ngettext("%(n)s is not known.", "%(n)s are not known.", not_known) % {"n": counted(not_known)}
    return f"{first} {second}"


def _names_first(names: list[str], squad_size: int) -> str:
    if not squad_size:
        return gettext("No athletes here yet.")
    if not names:
        return gettext("Nothing to decide today.")
    if len(names) > 5:
        shown = ", ".join(names[:5])
        return gettext("Decide for %(names)s and %(n)d more.") % {"names": shown, "n": len(names) - 5}
    return gettext("Decide for %(names)s.") % {"names": series(names)}


_COUNTED = (
    _("None"), _("One"), _("Two"), _("Three"), _("Four"), _("Five"), _("Six"), _("Seven"), _("Eight"),
    _("Nine"), _("Ten"), _("Eleven"), _("Twelve"),
)  # fmt: skip


def counted(number: int) -> str:
    """A small number as a word at the head of a sentence, a large one in figures."""
    return str(_COUNTED[number]) if number < len(_COUNTED) else str(number)


def change_since(entry: EntryShown) -> str:
    """What changed since yesterday: "was tight", "new today", "−7 since yesterday", or nothing."""
    if entry.level_before is None:
        return ""
    if entry.level_before != entry.level:
        return gettext("was %(level)s") % {"level": level(entry.level_before)}
    if entry.p is None or entry.p_before is None or abs(entry.p - entry.p_before) < 0.05:
        return ""
    points = round((entry.p - entry.p_before) * 100)
    return gettext("%(points)s since yesterday") % {"points": f"+{points}" if points > 0 else f"−{-points}"}
