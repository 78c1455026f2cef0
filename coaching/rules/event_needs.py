"""What an event asks of the skin beyond the usual: damper or drier air than at home, cracks, the day of
departure, the day on which entries close.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from coaching.rules import holds
from coaching.rules.case import Case
from coaching.rules.facts import EntryFact

DEW_POINT_APART_C = 5.0
"""Judgement: dew points less than five degrees apart feel alike."""

DAMP_DEW_POINT_C = 16.0
DRY_DEW_POINT_C = 0.0
TRAVEL_NEAR_DAYS = 7


@dataclass(frozen=True)
class AirChange:
    """Dew point of the event's place against that of home, and whether this kind of skin has to prepare for
    it.
    """

    difference_c: float | None
    damper: bool
    drier: bool


def air_change(case: Case, entry: EntryFact) -> AirChange:
    """Damper air troubles all but dry skin, drier air only dry skin; without the air of home the dew point
    alone decides.
    """
    venue_c, home_c = entry.air.venue_dew_point_c, entry.air.home_dew_point_c
    if venue_c is None:
        return AirChange(None, False, False)
    difference_c = None if home_c is None else venue_c - home_c
    if difference_c is None:
        damper, drier = venue_c >= DAMP_DEW_POINT_C, venue_c <= DRY_DEW_POINT_C
    else:
        damper, drier = difference_c >= DEW_POINT_APART_C, difference_c <= -DEW_POINT_APART_C
    return AirChange(difference_c, damper and case.kind != "dry", drier and case.kind == "dry")


def wants_toughening(entry: EntryFact) -> bool:
    """A crack event, said by its holds or by the sites that it needs."""
    sides = any(holds.zone_of(site) in holds.SIDES for site in entry.needs_sites)
    return "crack" in entry.styles or sides


def closes_on(case: Case, entry: EntryFact) -> date | None:
    """Last day on which the entry can still be changed; None: not known.

    The day there and the day here may differ: the earlier one, so that nobody acts when it is over.
    """
    closes = entry.entry_deadline
    if closes is None:
        return None
    zones = (entry.timezone, case.facts.timezone)
    return min(closes.astimezone(ZoneInfo(zone)).date() for zone in zones)


def leaves_on(case: Case, entry: EntryFact) -> date | None:
    """First day of the travel that leads to the event, if it begins within a week before the first day."""
    near = entry.first_day - timedelta(days=TRAVEL_NEAR_DAYS)
    trips = [one for one in case.facts.away if one.kind == "travel"]
    days = [one.first_day for one in trips if near <= one.first_day <= entry.first_day]
    return min(days, default=None)
