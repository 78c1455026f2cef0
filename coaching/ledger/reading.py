"""Read conclusions in a fixed number of queries, whatever the number of athletes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from django.db.models import OuterRef, Subquery

from coaching.ledger.models import Conclusion, EntryConclusion, SquadBar


@dataclass
class Entries:
    """Entry conclusions of one athlete: of the newest day, and of the day before it by event."""

    now: list[EntryConclusion] = field(default_factory=list)
    before: dict[int, EntryConclusion] = field(default_factory=dict)


def latest(athlete_ids: Sequence[int]) -> dict[int, Conclusion]:
    """The newest conclusion of each athlete. One query."""
    newest = Conclusion.objects.filter(athlete_id=OuterRef("athlete_id")).order_by("-as_of").values("as_of")[:1]
    rows = Conclusion.objects.filter(athlete_id__in=athlete_ids, as_of=Subquery(newest))
    return {row.athlete_id: row for row in rows}


def entries_of(concluded: Mapping[int, Conclusion]) -> dict[int, Entries]:
    """Entries of those conclusions, nearest event first, with the day before each. One query."""
    days = {row.as_of for row in concluded.values()}
    days |= {day - timedelta(days=1) for day in days}
    rows = EntryConclusion.objects.filter(athlete_id__in=list(concluded), as_of__in=days)
    found = {athlete_id: Entries() for athlete_id in concluded}
    for row in rows.order_by("first_day", "event_id"):
        newest = concluded[row.athlete_id].as_of
        if row.as_of == newest:
            found[row.athlete_id].now.append(row)
        elif row.as_of == newest - timedelta(days=1):
            found[row.athlete_id].before[row.event_id] = row
    return found


def bars(squad_ids: Sequence[int], as_of: date) -> dict[int, tuple[float, int]]:
    """Bar and athlete-days behind it, of the squads that have one for that day. One query."""
    rows = SquadBar.objects.filter(squad_id__in=squad_ids, as_of=as_of)
    return {row.squad_id: (row.bar_frac, row.athlete_days) for row in rows}


def verdicts(athlete_ids: Sequence[int], first: date, last: date) -> dict[int, dict[date, str]]:
    """By athlete, what was concluded about climbing on each day where something was. One query."""
    rows = Conclusion.objects.filter(athlete_id__in=athlete_ids, as_of__range=(first, last))
    found: dict[int, dict[date, str]] = {key: {} for key in athlete_ids}
    for key, day, code in rows.values_list("athlete_id", "as_of", "may_climb"):
        found[key][day] = code
    return found
