"""What is not known, said in words, because silence must never read as good news."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.usecases.shown import AthleteShown, DamageShown
from coaching.wording.dates import days_ahead, span, weekday
from coaching.wording.sentences import series
from coaching.wording.sites import site_list

CLASSES = {
    "checkins": _("check-ins"),
    "damage": _("damage by site"),
    "notes": _("notes"),
    "photos": _("photos"),
}


def known_until(row: AthleteShown) -> str:
    """ "Known until Thu 18, 4 days ago." or that nobody ever answered."""
    if row.known_until is None:
        return gettext("No answer and no look yet.")
    return gettext("Known until %(day)s, %(ago)s.") % {
        "day": weekday(row.known_until, row.as_of),
        "ago": days_ahead(row.known_until, row.as_of),
    }


def unknowns(row: AthleteShown) -> list[str]:
    """Every gap that the page knows of; an empty list is never shown as certainty by the page."""
    said = [_not_shared(row), _damage_gaps(row), *_load_gaps(row)]
    return [line for line in said if line]


def _not_shared(row: AthleteShown) -> str:
    closed = [name for code, name in CLASSES.items() if code not in row.shared]
    return gettext("Not shared with you: %(what)s.") % {"what": series(closed)} if closed else ""


def _damage_gaps(row: AthleteShown) -> str:
    damage = [d for d in row.picture.damage if d.stage != "sound"] if row.picture else []
    unasked = [d for d in damage if d.looked_on is None or d.pain is None or d.opens_on_pull is None]
    if not unasked:
        return ""
    places = site_list(d.site for d in unasked)
    return gettext("No look, or no pain answer on a pull: %(places)s.") % {"places": places}


def _load_gaps(row: AthleteShown) -> list[str]:
    shown = row.picture
    if shown is None or "checkins" not in row.shared:
        return []
    said = []
    if shown.load_7d_unknown_days:
        said.append(gettext("Load on some of the last seven days; the sum is the least it can be."))
    if shown.silent:
        said.append(gettext("How the skin was on the days without an answer; they count as not known."))
    return said


def back_when(found: DamageShown, as_of: date) -> str:
    """ "usable taped about Mon 15; sound Wed 17 to Sat 27", or "not reached in the time looked at"."""
    said = []
    if found.usable_median:
        said.append(gettext("usable taped about %(day)s") % {"day": weekday(found.usable_median, as_of)})
    if found.sound_early and found.sound_late:
        days = span(found.sound_early, found.sound_late, as_of)
        said.append(gettext("sound %(days)s") % {"days": days})
    return "; ".join(said) or gettext("sound: not within the days looked at")
