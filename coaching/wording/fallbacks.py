"""What else could be done for an entry, and what it costs."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.conclusions import Fallback, Number
from coaching.wording.dates import days_count, moment, weekday
from coaching.wording.numbers import in_100
from coaching.wording.sentences import Sentence, bold, sentence
from coaching.wording.verdicts import MEDICAL

FALLBACKS = {
    "protect": _("start protected, under tape"),
    "lighter-event": _("enter a lighter event instead"),
    "fewer-days": _("climb fewer days"),
    "later-arrival": _("arrive later"),
    "stand-in": _("name a stand-in"),
    "withdraw": _("withdraw"),
    "medical": _("the medical person decides"),
}


def fallback(found: Fallback, as_of: date) -> Sentence:
    """ "name a stand-in: by Thu 18, 18:00". A cost without words is left out rather than shown as a code."""
    costs = [said for key, value in found.cost.items() if (said := _cost(found, key, value, as_of))]
    name = FALLBACKS[found.code]
    if not costs:
        return sentence("%(name)s", name=name)
    return sentence(gettext("%(name)s: %(cost)s"), name=name, cost=", ".join(costs))


def _cost(found: Fallback, key: str, value: Number, as_of: date) -> str:
    """The cost in words; that a withdrawal costs the event's own days goes without saying."""
    if key == "by" and value is not None:
        return _by(str(value), as_of, str(found.cost.get("zone") or ""))
    known = None if found.code == "withdraw" else _COSTS.get(key)
    return known(value, as_of) if known and value is not None else ""


def _by(text: str, as_of: date, zone: str) -> str:
    """An hour names its zone, because the reader may be elsewhere."""
    said = moment(text, as_of, zone) if "T" in text else weekday(date.fromisoformat(text), as_of)
    return gettext("by %(day)s") % {"day": bold(said)}


def _chance(value: Number, as_of: date) -> str:
    return gettext("skin holds: %(n)s in 100") % {"n": in_100(float(str(value)), 5)}


def _gain(value: Number, as_of: date) -> str:
    return gettext("about %(n)d points more") % {"n": round(float(str(value)) * 20) * 5}


def _usable(value: Number, as_of: date) -> str:
    return gettext("usable taped by then: %(n)s in 100") % {"n": in_100(float(str(value)), 5)}


def _days(value: Number, as_of: date) -> str:
    return gettext("costs %(days)s") % {"days": days_count(round(float(str(value))))}


def _later(value: Number, as_of: date) -> str:
    days = round(float(str(value)))
    when = gettext("%(days)s later") if days >= 0 else gettext("%(days)s earlier")
    return when % {"days": days_count(abs(days))}


def _grade(value: Number, as_of: date) -> str:
    return str(MEDICAL.get(str(value), ""))


_COSTS: dict[str, Callable[[Number, date], str]] = {
    "p": _chance,
    "p_gain": _gain,
    "p_protected": _usable,
    "days_lost": _days,
    "days_later": _later,
    "grade": _grade,
}
