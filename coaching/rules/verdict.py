"""Today's verdict for one athlete: may they climb, on which holds not, because of which sites."""

from __future__ import annotations

from coaching.rules import holds
from coaching.rules.case import Case
from coaching.rules.conclusions import Today
from coaching.rules.damage import OFF_PAIN_PT, Damage

MANY_OPEN_SITES = 3
PINK_HOLDS = ("crimp", "pocket")


def today(case: Case) -> Today:
    """The first that holds: medical, not known, off, not those holds, protected, free."""
    sites = [one.site for one in case.damages] + list(case.pink.sites if case.pink else ())
    return Today(may_climb(case), _avoid(case), tuple(dict.fromkeys(sites)))


def may_climb(case: Case) -> str:
    """Today's verdict in one code."""
    if case.medical_stop:
        return "medical"
    if case.silent:
        return "not-known"
    if _off(case):
        return "off"
    if any(_stops_holds(one) for one in case.damages):
        return "not-those-holds"
    return "protected" if case.damages or case.pink else "free"


def _avoid(case: Case) -> tuple[str, ...]:
    """Kinds of hold to keep away from, in the fixed order of the kinds; damage that is closed and calm stops
    none.
    """
    if case.medical_stop:
        return holds.KINDS
    hurt = {hold for one in case.damages if _stops_holds(one) for hold in one.hurts}
    if case.pink:
        hurt.update(PINK_HOLDS)
    return tuple(hold for hold in holds.KINDS if hold in hurt)


def _stops_holds(one: Damage) -> bool:
    return one.is_open or one.gated


def _off(case: Case) -> bool:
    """Off: an answer at the worst end of a scale, pink for a day or two, a fresh hole, pain of 7 or more, or three
    open sites (judgement).
    """
    if case.worn:
        return True
    if case.pink and case.as_of <= case.pink.off_until:
        return True
    still_open = [one for one in case.damages if one.is_open]
    if len({one.site for one in still_open}) >= MANY_OPEN_SITES:
        return True
    return any(one.too_fresh or (one.pain_pt or 0) >= OFF_PAIN_PT for one in still_open)
