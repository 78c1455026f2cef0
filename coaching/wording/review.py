"""A review in words."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.formats import number_format
from django.utils.translation import gettext, ngettext

from coaching.usecases.review import HORIZONS, Came, Review, ReviewRow, Said
from coaching.wording.care import KINDS
from coaching.wording.dates import weekday
from coaching.wording.deadlines import by_when, what
from coaching.wording.numbers import chance_range, in_100, rounding
from coaching.wording.sites import site

FEWEST = 10
"""Fewer answers than this say nothing of how good the forecasts were."""


def headline(found: Review) -> str:
    """How many told, and of how many skin was the limit."""
    told = [row.came.limited for row in found.rows if row.came.limited is not None]
    if not told:
        return gettext("Nobody has told yet whether skin was the limit.")
    n = sum(told)
    return ngettext(
        "Skin was the limit for %(n)d of %(all)d who told.", "Skin was the limit for %(n)d of %(all)d who told.", n
    ) % {"n": n, "all": len(told)}  # fmt: skip


def against(found: Review) -> str:
    """What was expected a week before, of those who told; too few are no judgement."""
    both = [(row.said[7].p, row.came.limited) for row in found.rows if 7 in row.said and row.came.limited is not None]
    if not both:
        return ""
    held = sum(1 for _, limited in both if not limited)
    said = gettext(
        "A week before, the chances of these %(all)d came to %(expected)s whose skin would hold; it held for %(held)d."
    ) % {"all": len(both), "expected": number_format(sum(p for p, _ in both), 1), "held": held}  # fmt: skip
    if len(both) < FEWEST:
        return gettext("%(said)s So few say little about how good the forecasts are.") % {"said": said}
    return said


def horizons() -> list[str]:
    return [ngettext("%(n)d day before", "%(n)d days before", n) % {"n": n} for n in HORIZONS]


def said(found: Said | None) -> tuple[str, str]:
    """("70", "55 to 80"), or ("–", "") where nothing was kept."""
    if found is None:
        return gettext("nothing kept"), ""
    return in_100(found.p, rounding(found.low, found.high)), chance_range(found.low, found.high)


def came(found: Came, row: ReviewRow) -> str:
    """What the athlete told of skin."""
    if "checkins" not in row.shared:
        return gettext("not shared with you")
    words = {True: gettext("skin was the limit"), False: gettext("skin held"), None: gettext("not told")}
    return words[found.limited]


def hurt(found: Came, review: Review) -> list[str]:
    """Damage noticed on the days of the event and the two after."""
    if found.damage is None:
        return [gettext("not shared with you")]
    return [
        gettext("%(site)s, %(what)s, %(day)s") % {
            "site": site(where), "what": KINDS.get(kind, kind), "day": weekday(day, review.event.last_day),
        }
        for where, kind, day in found.damage
    ]  # fmt: skip


def missed(row: ReviewRow, review: Review) -> list[str]:
    """ "start of the agent run, last day Thu 4"."""
    first = review.event.first_day
    return [
        gettext("%(what)s, last day %(day)s") % {"what": what(one), "day": by_when(one, first)} for one in row.missed
    ]


def to_change(rows: Sequence[ReviewRow]) -> list[str]:
    """What was missed most, as the first thing to do otherwise."""
    counts: dict[str, int] = {}
    for row in rows:
        for kind in {what(one).split(":")[0] for one in row.missed}:
            counts[kind] = counts.get(kind, 0) + 1
    ranked = sorted(counts.items(), key=lambda one: (-one[1], one[0]))
    return [
        ngettext("%(what)s was missed by %(n)d athlete.", "%(what)s was missed by %(n)d athletes.", n)
        % {"what": kind[0].upper() + kind[1:], "n": n}
        for kind, n in ranked
    ]
