"""Plans that the rules refuse: what, why, and what to do instead."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.conclusions import Refusal
from coaching.rules.refusals import UNKNOWN_FORM
from coaching.wording.care import care, forms
from coaching.wording.dates import days_list
from coaching.wording.sentences import Sentence, bold, sentence

CLASSES = {
    "allergy": _("this group of ingredients is not allowed here"),
    "age": _("under age: it needs a sign-off first"),
    "open-skin": _("the skin there is open"),
    "medical": _("not allowed: this group; the medical person knows why"),
    "timing": _("too late, or too close to the event, to judge what it does"),
    "skin-kind": _("it does not suit this kind of skin"),
    "site": _("not at this site"),
    "clash": _("it works against another step"),
}

CAUSES = {
    "part-of-day": _("at that part of the day it does harm"),
    "before-climbing": _("it belongs after climbing, not before"),
    "unfinished-run": _("the run of evenings could not end in time"),
    "first-use": _("too close to the event for a first use: nobody could judge what it does"),
    "last-use": _("after its last day before the event"),
}
"""Why the time is wrong, where a rule says more than its class."""

CLASSES_SHORT = {
    "allergy": _("not allowed here: this group of ingredients"),
    "age": _("under age, no sign-off yet"),
    "open-skin": _("refused on open skin"),
    "medical": _("not allowed here"),
    "timing": _("refused so close to the event"),
    "skin-kind": _("wrong for this kind of skin"),
    "site": _("not at this site"),
    "clash": _("clashes with another step"),
}


def grouped(found: Iterable[Refusal]) -> list[list[Refusal]]:
    """Refusals of the same care together, in the order of their first."""
    groups: dict[tuple[str, str, tuple[str, ...]], list[Refusal]] = {}
    for refusal in found:
        groups.setdefault((refusal.verb, refusal.form, refusal.instead), []).append(refusal)
    return list(groups.values())


def refused(group: Sequence[Refusal], as_of: date) -> Sentence:
    """ "dry: methenamine spray, Mon 30 to Sat 12 Dec: too late to judge what it does; under age: sign-off first." """
    first = group[0]
    why = "; ".join(dict.fromkeys(because(refusal) for refusal in group))
    values = {"care": care(first.verb, first.form), "why": why}
    days = {refusal.date for refusal in group if refusal.date}
    if not days:
        return sentence(gettext("%(care)s: %(why)s."), **values)
    return sentence(gettext("%(care)s, %(days)s: %(why)s."), **values, days=bold(days_list(days, as_of)))


def because(refusal: Refusal) -> str:
    """The class of the rule, or which rule of time it is."""
    return str(CAUSES.get(refusal.cause) or CLASSES[refusal.class_])


def instead(refusal: Refusal) -> str:
    """ "Instead: fan, longer rests." or that nothing stands in for it."""
    if not refusal.instead:
        return gettext("Nothing stands in for it.")
    return gettext("Instead: %(forms)s.") % {"forms": forms(refusal.instead)}


def paused_days(group: Iterable[Refusal]) -> list[date]:
    """Days on which pauses alone stand in the way; empty for a form that no rulebook knows."""
    found = [one for one in group if one.date]
    hard = {one.date for one in found if one.hard or not one.rule or one.rule == UNKNOWN_FORM}
    return sorted({one.date for one in found if one.date} - hard)


def who_may_overrule(group: Iterable[Refusal]) -> str:
    """A hard stop holds for everybody, also where a pause stands beside it; a pause may be overruled with a note."""
    if any(refusal.hard for refusal in group):
        return gettext("Hard stop: nobody may overrule it.")
    return gettext("Pause: a named person may overrule it with a note.")
