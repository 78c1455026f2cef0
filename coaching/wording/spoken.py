"""What a coach says to one athlete before the warm-up: verdict, sites, surface, minutes, tries, when to stop.

Meant for half a minute: a test counts the words at the pace of unhurried speech.
"""

from __future__ import annotations

from datetime import date

from django.utils.text import capfirst
from django.utils.translation import gettext

from coaching.rules.conclusions import Limit, Today
from coaching.rules.damage import pain_limit_pt
from coaching.usecases.cutting import TodayWithheld
from coaching.wording.conditions import condition
from coaching.wording.limits import what_is_allowed
from coaching.wording.sites import site_list
from coaching.wording.verdicts import holds, verdict

SITES_SAID = 1


def brief(today: Today, limits: tuple[Limit, ...], as_of: date) -> list[str]:
    """Sentences in the order in which they are said. Whoever is told neither answers nor damage hears whom to ask."""
    said = [gettext("%(verdict)s.") % {"verdict": verdict(today)}]
    if isinstance(today, TodayWithheld):
        return said
    if today.sites and today.may_climb not in ("free", "medical"):
        said.append(_sites(today.sites))
    if today.avoid and today.may_climb not in ("off", "medical"):
        said.append(gettext("Leave out: %(holds)s.") % {"holds": holds(today.avoid)})
    limit = next((one for one in limits if one.date == as_of), None)
    if limit and limit.surface is not None:
        said.append(_session(limit, as_of))
    return [*said, *stop_rule(today)]


def stop_rule(today: Today) -> list[str]:
    """When to stop, for whoever may climb at all. Common practice, no source, but for the pain, which is judgement."""
    if today.may_climb in ("off", "medical"):
        return []
    rule = gettext("Stop at a burning or pink tip, at blood, or when chalk no longer stays.")
    if not today.sites:
        return [rule]
    limit = min(pain_limit_pt(site, "split") for site in today.sites)
    return [rule, gettext("Pain over %(n)d on a firm pull, or tape that moves: stop.") % {"n": limit}]


def _sites(sites: tuple[str, ...]) -> str:
    if len(sites) > SITES_SAID:
        words = gettext("Spare: %(sites)s and %(n)d more places.")
        return words % {"sites": site_list(sites[:SITES_SAID]), "n": len(sites) - SITES_SAID}
    return gettext("Spare: %(sites)s.") % {"sites": site_list(sites)}


def _session(limit: Limit, as_of: date) -> str:
    said = capfirst("; ".join(what_is_allowed(limit)))
    if limit.if_:
        return gettext("%(limit)s, only if %(condition)s.") % {
            "limit": said, "condition": condition(limit.if_, as_of)
        }  # fmt: skip
    return gettext("%(limit)s.") % {"limit": said}
