"""One's own record to be read on paper: what was told of the last weeks, all damage, and who may see what."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from athletes.records import consents, own_rows, queries_trials
from athletes.records.access import AthleteRef
from athletes.records.queries_trials import TrialRow
from athletes.records.viewer import Viewer
from coaching.sheets.paper import paper_pdf
from coaching.sheets.paper_values import Paper
from coaching.usecases import clock, who_sees
from coaching.usecases.who_sees import WhoSees

WEEKS = 12
Row = dict[str, Any]


@dataclass(frozen=True)
class OwnRecord:
    """Rows by the names of their columns: check-ins, sessions and care from `first` on, damage, looks and trials
    from ever."""

    athlete: AthleteRef
    profile: Row
    known_at: datetime
    first: date
    checkins: tuple[Row, ...]
    sessions: tuple[Row, ...]
    care: tuple[Row, ...]
    damage: tuple[Row, ...]
    looks: tuple[Row, ...]
    trials: tuple[TrialRow, ...]
    told: int
    who: WhoSees


@dataclass(frozen=True)
class OwnPaper:
    content: bytes
    as_of: date


def own_record(viewer: Viewer, code: str | None) -> OwnRecord:
    """For the athlete, or the guardian of a minor. Raises NotFound."""
    athlete, now = consents.subject(viewer, code), clock.now()
    day = clock.local_day(now, athlete.timezone)
    first = day - timedelta(weeks=WEEKS)
    rows = own_rows.own_rows(athlete.id)

    def lately(table: str) -> tuple[Row, ...]:
        found = (row for row in rows.get(table, ()) if row["local_date"] >= first)
        return tuple(sorted(found, key=lambda row: (row["local_date"], row["id"]), reverse=True))

    return OwnRecord(
        athlete=athlete,
        profile=rows["records_athlete"][0],
        known_at=now,
        first=first,
        checkins=lately("records_checkin"),
        sessions=tuple(row for row in lately("records_session") if not row["planned"]),
        care=tuple(row for row in lately("records_care") if row["status"] != "planned"),
        damage=tuple(sorted(rows.get("records_damage", ()), key=lambda row: row["noticed_on"], reverse=True)),
        looks=tuple(sorted(rows.get("records_look", ()), key=lambda row: (row["local_date"], row["id"]))),
        trials=queries_trials.of_athletes([athlete.id]),
        told=sum(len(rows.get(f"records_{one}", ())) for one in ("checkin", "session", "care", "damage")),
        who=who_sees.who_sees(viewer, code),
    )


def own_paper(viewer: Viewer, code: str | None, say: Callable[[OwnRecord], Paper]) -> OwnPaper:
    """The same as PDF. Raises NotFound."""
    found = own_record(viewer, code)
    return OwnPaper(paper_pdf(say(found)), clock.local_day(found.known_at, found.athlete.timezone))
