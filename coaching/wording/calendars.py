"""Words of a calendar feed. They name nobody and tell nothing of skin."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

SUMMARIES = {"event": _("Event"), "session": _("Session"), "closes": _("Entries close")}
KINDS = {"own": _("My days"), "season": _("The season")}
HOLDS = {
    "own": _("Your events and planned sessions."),
    "season": _("Events that somebody who lets you see them is entered in, and when entries close."),
}


def summary(kind: str) -> str:
    """What stands in the calendar, and all that does."""
    return str(SUMMARIES[kind])


def kind(code: str) -> str:
    return str(KINDS[code])


def holds(code: str) -> str:
    return str(HOLDS[code])
