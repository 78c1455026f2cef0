"""What came of forecasts: answers, ratings, plans and looks by day. Takes athletes that came through the door."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from athletes.records.access import AthleteRef
from athletes.records.models import CheckIn, Look, Session

OPEN_STAGES = ("open", "closing")


@dataclass(frozen=True)
class Came:
    """Plain rows, by the integer key of the athlete: only of those who share the class that a row belongs to."""

    ratings: Sequence[tuple[int, date, int | None, int | None, bool | None]]  # reserve, dampness, agent used
    sessions: Sequence[tuple[int, date, bool, bool | None, float | None, float | None]]  # planned, limited, min, effort
    seen_open: frozenset[tuple[int, date]]  # somebody looked that day and damage was open or closing


def came(refs: Sequence[AthleteRef], first: date, last: date) -> Came:
    """Check-ins and sessions of the days, planned ones too, and looks. Three queries."""
    telling = [ref.id for ref in refs if "checkins" in ref.shared]
    hurt = [ref.id for ref in refs if {"checkins", "damage"} <= ref.shared]
    ratings = CheckIn.objects.filter(athlete_id__in=telling, local_date__range=(first, last))
    sessions = Session.objects.filter(athlete_id__in=telling, local_date__range=(first, last))
    looks = Look.objects.filter(damage__athlete_id__in=hurt, local_date__range=(first, last), stage__in=OPEN_STAGES)
    columns = ("athlete_id", "local_date", "planned", "skin_limited", "minutes", "rpe")
    return Came(
        list(ratings.values_list("athlete_id", "local_date", "reserve", "dampness", "agent_used")),
        list(sessions.values_list(*columns)),
        frozenset(looks.values_list("damage__athlete_id", "local_date")),
    )
