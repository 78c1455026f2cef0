"""Plans that the rules refuse: what, why, and what to do instead."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.conclusions import Refusal
from coaching.wording.care import care, forms
from coaching.wording.dates import days_list
from coaching.wording.sentences import Sentence, bold, sentence

CLASSES = {
    "allergy": _("this group of ingredients is not allowed here"),
    "age": _("under age: it needs a sign-off first"),
    "open-skin": _("the skin there is open"),
    "medical": _("a medical reason; the medical person knows it"),
    "timing": _("too late, or too close to the event, to judge what it does"),
    "skin-kind": _("it does not suit this kind of skin"),
    "site": _("not at this site"),
    "clash": _("it works against another step"),
}

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
    why = "; ".join(str(CLASSES[code]) for code in dict.fromkeys(r.class_ for r in group))
    values = {"care": care(first.verb, first.form), "why": why}
    days = {refusal.date for refusal in group if refusal.date}
    if not days:
        return sentence(gettext("%(care)s: %(why)s."), **values)
    return sentence(gettext("%(care)s, %(days)s: %(why)s."), **values, days=bold(days_list(days, as_of)))


def instead(refusal: Refusal) -> str:
    """ "Instead: fan, longer rests." or that nothing stands in for it."""
    if not refusal.instead:
        return gettext("Nothing stands in for it.")
    return gettext("Instead: %(forms)s.") % {"forms": forms(refusal.instead)}


def who_may_overrule(group: Iterable[Refusal]) -> str:
    """A hard stop holds for everybody, also where a pause stands beside it; a pause may be overruled with a note."""
    if any(refusal.hard for refusal in group):
        return gettext("Hard stop: nobody may overrule it.")
    return gettext("Pause: a named person may overrule it with a note.")
