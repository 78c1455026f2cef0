"""Entries of the rulebook in words: what each key says, and only where it says something."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.rules.rulebook import DeadlineRule, FormRule
from coaching.wording import care, deadlines, sites
from coaching.wording.papers import CONTRAINDICATIONS, SENSITIVITIES
from coaching.wording.squad import SKIN_KINDS

PARTS = {"morning": _("morning"), "day": _("by day"), "evening": _("evening"), "night": _("night")}
CLIMBING_DAY = {
    "any": _("on any day"),
    "before": _("before climbing"),
    "after": _("after climbing"),
    "between": _("between tries"),
}
OWN_NAMES = {"toughen": _("run of toughening evenings"), "dry-kind-agent-stop": _("last agent on dry skin")}
"""Counts of the rulebook that are no deadlines of their own."""
KEYS = {
    "how": _("how it is done"),
    "uses_a_week": _("uses a week"),
    "run_days": _("length of a run, days"),
    "lead_days": _("lead before an event, days"),
    "carry_over_days": _("effect after the last use, days"),
    "no_first_use_days": _("no first use inside, days before an event"),
    "trial_days": _("watched before a first course, days"),
    "settle_days": _("between a course and the event, days"),
    "stop_days": _("last use, days before an event"),
    "hard_tries": _("hard tries"),
    "days_on": _("days of climbing in a row: rough rock, finer rock"),
    "list_checked_by": _("anti-doping list checked by"),
    "list_checked_on": _("anti-doping list checked on"),
    "days": _("days before an event: middle, late end"),
}
"""Keys that a club may change, by name."""


def lines(rule: FormRule) -> list[tuple[str, str]]:
    """(what, said) of a form of care, in the order in which it is asked; empty keys are left out."""
    found = [(str(name), said(rule)) for name, said in _ASKED]
    return [(name, words) for name, words in found if words]


def deadline(rule: DeadlineRule) -> str:
    """ "look, by someone's own eyes"; the run of toughening has its own words."""
    if rule.kind in deadlines.KINDS:
        return str(deadlines.KINDS[rule.kind])
    return str(
        {"toughen": _("run of toughening evenings"), "dry-kind-agent-stop": _("last agent on dry skin")}[rule.kind]
    )


def pair(low: int, high: int) -> str:
    """ "7", or "7 to 10"."""
    return str(low) if low == high else gettext("%(low)d to %(high)d") % {"low": low, "high": high}


def value(found: object) -> str:
    """A value of a key as it is printed."""
    return pair(*found) if isinstance(found, tuple) else str(found)


def _days_before(days: int) -> str:
    return ngettext("%(n)d day before", "%(n)d days before", days) % {"n": days} if days else ""


def _age(rule: FormRule) -> str:
    said = []
    if rule.minimum_age:
        said.append(gettext("never under %(n)d") % {"n": rule.minimum_age})
    if rule.signoff_under_age:
        said.append(gettext("under %(n)d only signed by guardian and medical") % {"n": rule.signoff_under_age})
    return "; ".join(said)


def _list_check(rule: FormRule) -> str:
    if not rule.list_check:
        return ""
    if rule.list_checked_by:
        return gettext("checked by %(who)s on %(day)s") % {"who": rule.list_checked_by, "day": rule.list_checked_on}
    return gettext("not checked yet: ask the responsible body for its current list")


def _days_on(rule: FormRule) -> str:
    if not rule.days_on[1]:
        return ""
    rough, finer = rule.days_on
    said = gettext("%(rough)d on rough rock or fresh plastic, %(finer)d on finer rock")
    return said % {"rough": rough, "finer": finer}


def _named(codes: Iterable[str], words: Mapping[str, object]) -> str:
    return ", ".join(str(words[code]) for code in codes)


def _goes_on(rule: FormRule) -> str:
    if not rule.goes_on_strengths:
        return ""
    strengths = ", ".join(str(care.STRENGTHS[one]) for one in rule.goes_on_strengths)
    return gettext("%(strengths)s on damp skin after an earlier course that was tolerated") % {"strengths": strengths}


_ASKED: tuple[tuple[object, Callable[[FormRule], str]], ...] = (
    (_("when"), lambda r: ", ".join(str(PARTS[one]) for one in r.parts) + "; " + str(CLIMBING_DAY[r.climbing_day])),
    (_("uses a week"), lambda r: pair(*r.uses_a_week)),
    (_("run"), lambda r: gettext("%(n)s days") % {"n": pair(*r.run_days)} if r.run_days != (1, 1) else ""),
    (_("lead before an event"), lambda r: gettext("%(n)s days") % {"n": pair(*r.lead_days)} if r.lead_days[1] else ""),
    (_("effect after the last use"), lambda r: gettext("%(n)s days") % {"n": pair(*r.carry_over_days)}
     if r.carry_over_days[1] else ""),
    (_("first use no later than"), lambda r: _days_before(r.no_first_use_days)),
    (_("last use"), lambda r: _days_before(r.stop_days)),
    (_("may go on to the event"), _goes_on),
    (_("only at"), lambda r: _named(r.zones, sites.ZONES | sites.PALM)),
    (_("not on damage or skin that is"), lambda r: _named(r.not_on, care.STAGES | care.MARKS)),
    (_("only once a look has found it"), lambda r: _named(r.needs_stage, care.STAGES)),
    (_("hard stop with an allergy to"), lambda r: _named(r.sensitivities, SENSITIVITIES)),
    (_("hard stop with"), lambda r: _named(r.contraindications, CONTRAINDICATIONS)),
    (_("age"), _age),
    (_("not for skin that is"), lambda r: _named(r.not_for_kinds, SKIN_KINDS)),
    (_("needs after it"), lambda r: care.forms(r.needs_after)),
    (_("instead"), lambda r: care.forms(r.instead)),
    (_("hard tries"), lambda r: pair(*r.hard_tries) if r.hard_tries[1] else ""),
    (_("due after days of climbing in a row"), _days_on),
    (_("anti-doping list"), _list_check),
)  # fmt: skip
