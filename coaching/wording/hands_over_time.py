"""Both hands over time in words: what stood on a day, what changed between two, and how long cases took."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from django.utils.translation import gettext, ngettext

from coaching.usecases.hands_over_time import HandsOn, Run
from coaching.wording import care, dates, sites

FEW = 3
"""Under so many cases of one's own nothing is to be read from them."""


def states(found: HandsOn) -> dict[str, str]:
    """By site "split, closing" or "pink"; damage outranks a mark."""
    said = {one.site: str(care.MARKS[one.mark]) for one in found.marks}
    said |= {one.site: care.state_phrase(one.kind, one.stage) for one in found.damage}
    return said


def changes(then: HandsOn, now: HandsOn) -> list[str]:
    """ "right middle, tip crease: split, open; before: nothing marked", what came or changed first."""
    before, after = states(then), states(now)
    nothing = gettext("nothing marked")
    return [
        gettext("%(site)s: %(then)s → %(now)s")
        % {"site": sites.site(site), "then": before.get(site, nothing), "now": after.get(site, nothing)}
        for site in sorted({*before, *after}, key=lambda one: (one not in after, one))
        if before.get(site) != after.get(site)
    ]


def known(found: HandsOn) -> str:
    """Up to when skin had been told of; a day that rests on silence says so."""
    if found.answered_on is None:
        return gettext("nothing had been answered by then")
    behind = (found.day - found.answered_on).days
    if not behind:
        return gettext("answered that day")
    return ngettext("last answered %(n)d day before", "last answered %(n)d days before", behind) % {"n": behind}


def runs(found: Iterable[Run], today: date) -> str:
    """ "pink Mon 1 to Wed 3; split, open Sun 7 to today". """
    return "; ".join(
        gettext("%(state)s %(span)s")
        % {
            "state": care.state_phrase(one.kind, one.state) if one.kind else str(care.MARKS[one.state]),
            "span": dates.span(one.first, one.last, today),
        }
        for one in found
    )


def cases(days: list[int], few: bool) -> str:
    """How many cases the dots are, and that few are few."""
    said = ngettext("%(n)d case of one’s own", "%(n)d cases of one’s own", len(days)) % {"n": len(days)}
    return gettext("%(said)s: too few to go by") % {"said": said} if few else said


def by_site(found: Iterable[Run]) -> Mapping[str, list[Run]]:
    held: dict[str, list[Run]] = {}
    for one in found:
        held.setdefault(one.site, []).append(one)
    return held
