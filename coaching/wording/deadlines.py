"""Deadlines worked back from the event: what must happen, by when, and how much time is to spare."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.conclusions import Deadline
from coaching.wording.care import form
from coaching.wording.conditions import condition
from coaching.wording.dates import moment, weekday
from coaching.wording.sites import site

KINDS = {
    "agent-first-use": _("first use of an agent, with a patch check"),
    "agent-start": _("start of the agent run"),
    "agent-stop": _("last use of the agent"),
    "soften-start": _("start of softening"),
    "even-last": _("last sanding"),
    "rough-session-last": _("last rough session"),
    "rest-start": _("rest begins"),
    "toughen-start": _("first toughening evening"),
    "toughen-stop": _("last toughening evening"),
    "look": _("look, by someone's own eyes"),
    "taped-try": _("taped try"),
    "rehearsal-start": _("first rehearsal"),
    "medical-signoff": _("sign-off by the medical person"),
    "entry": _("entry changes close"),
}
SAYS_ITS_FORM = frozenset({"taped-try", "rehearsal-start", "look"})
"""Kinds whose own name says what is done."""

STATES = {"open": _("open"), "due": _("due"), "done": _("done"), "missed": _("missed")}


def what(deadline: Deadline) -> str:
    """ "last use of the agent: methenamine spray", "look: right middle, tip crease"."""
    name = str(KINDS[deadline.kind])
    named = form(deadline.form) if deadline.form and deadline.kind not in SAYS_ITS_FORM else ""
    about = ", ".join(filter(None, (named, site(deadline.site) if deadline.site else "")))
    return gettext("%(what)s: %(about)s") % {"what": name, "about": about} if about else name


def by_when(deadline: Deadline, as_of: date) -> str:
    """ "Thu 18" or, where an instant is set, "Thu 18, 18:00 Europe/Vienna"."""
    return moment(deadline.at, as_of, deadline.zone or "") if deadline.at else weekday(deadline.latest, as_of)


def state(deadline: Deadline) -> str:
    """The state in one word."""
    return str(STATES[deadline.state])


def days_to_spare(deadline: Deadline) -> str:
    """ "2 days to spare", "no day to spare", "2 days late"."""
    if deadline.state == "done":
        return gettext("done")
    days = deadline.slack_days
    if days < 0:
        return ngettext("%(n)d day late", "%(n)d days late", -days) % {"n": -days}
    if days == 0:
        return gettext("no day to spare")
    return ngettext("%(n)d day to spare", "%(n)d days to spare", days) % {"n": days}


def depends_on(deadline: Deadline, as_of: date) -> str:
    """ "only if the look on Mon 15 allows it", or nothing."""
    if not deadline.if_:
        return ""
    return gettext("only if %(condition)s") % {"condition": condition(deadline.if_, as_of)}


MOVED_BY = {
    "event": _("the event has other days"),
    "closing": _("entries close at another hour"),
    "rules": _("the club's rules have changed"),
    "look": _("a look, or an answer about that place"),
    "pink": _("pink tips were seen again"),
    "care": _("care done or planned, or the days of travel"),
}
"""What moved a last day since the day before."""


def moved(deadline: Deadline, as_of: date) -> str:
    """ "yesterday it was Wed 17; moved by: a look, or an answer about that place", or nothing."""
    if deadline.was is None:
        return ""
    was = weekday(deadline.was, as_of)
    cause = MOVED_BY.get(deadline.moved_by or "")
    if cause is None:
        return gettext("yesterday it was %(was)s") % {"was": was}
    return gettext("yesterday it was %(was)s; moved by: %(cause)s") % {"was": was, "cause": cause}


def undone(deadline: Deadline) -> bool:
    """Still ahead: neither done nor missed."""
    return deadline.state in ("open", "due")
