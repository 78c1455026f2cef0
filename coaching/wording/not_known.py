"""What is not known, in words: what nobody has published, and how much of today hangs on each assumption."""

from __future__ import annotations

from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coaching.science.quantities import Quantity
from coaching.usecases.not_known import SquadUnknowns, Weighed
from coaching.wording.quantities import UNITS, figure

UNPUBLISHED = (
    _("How fast a fingertip that was climbed thin grows back: no study has measured it in climbers."),
    _("On which day a drying agent begins to work on a fingertip: the trials are of palms and soles, of few people."),
    _("When a split may be climbed on again: no criterion has been tested. Ours are looks, a pull and a taped try."),
    _("How much rock of each kind wears: there are orders of grip, no rates of wear."),
)


def headline(assumed: int, registered: int) -> str:
    """How much is assumed at all."""
    return gettext("%(assumed)d of the %(all)d quantities behind every number are assumptions.") % {
        "assumed": assumed, "all": registered,
    }  # fmt: skip


def moved(squad: SquadUnknowns) -> str:
    """How many of the weighed would change anything today."""
    n = sum(1 for one in squad.weighed if one.most)
    return ngettext(
        "Of %(all)d weighed, %(n)d would change an answer of today at an end of its range.",
        "Of %(all)d weighed, %(n)d would change an answer of today at an end of their range.", n,
    ) % {"n": n, "all": len(squad.weighed)}  # fmt: skip


def progress(squad: SquadUnknowns) -> str:
    """What is still to be computed, empty once all is."""
    if not squad.asked or not squad.left:
        return ""
    n = squad.left
    return ngettext(
        "%(n)d assumption is still being weighed.", "%(n)d assumptions are still being weighed.", n
    ) % {"n": n}  # fmt: skip


def line(one: Weighed, answers: int) -> tuple[str, str, str]:
    """(value and range, changed at the lowest, changed at the highest)."""
    return span(one.quantity), changed(one.low_flips, answers), changed(one.high_flips, answers)


def span(quantity: Quantity) -> str:
    """ "0.6, may be 0.3 to 1"."""
    unit = UNITS.get(quantity.unit, quantity.unit)
    return gettext("%(value)s, may be %(low)s to %(high)s %(unit)s") % {
        "value": figure(quantity.default), "low": figure(quantity.low), "high": figure(quantity.high), "unit": unit,
    }  # fmt: skip


def changed(flips: int | None, answers: int) -> str:
    """ "3 of 57"."""
    if flips is None:
        return gettext("the model does not run there")
    return gettext("%(n)d of %(all)d") % {"n": flips, "all": answers}
