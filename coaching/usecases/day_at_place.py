"""A place's day for a coach, for one athlete of theirs, or for the athlete who looks at their own."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from athletes.records import access, queries_air
from athletes.records.access import AthleteRef
from athletes.records.errors import NotFound
from athletes.records.queries_air import PlaceFacts
from athletes.records.queries_past_air import PastSession, past_sessions
from athletes.records.viewer import Viewer
from coaching.science.air import day as days
from coaching.science.air.windows import PastAir
from coaching.usecases import clock, day_cost
from coaching.usecases.day_told import Asked, Past, told
from coaching.usecases.hours_at_place import Row, row_of
from coaching.usecases.morning_list import COACHING
from coaching.usecases.showing import show
from coaching.usecases.shown_air import Cost, DayAtPlace, Whose, units_of

DAYS_AHEAD = 400
STOPS = ("today", "emergency")
"""Signs that a doctor must judge."""


def day_at_place(viewer: Viewer, code: str, day: date | None = None, athlete_code: str | None = None) -> DayAtPlace:
    """The day. Raises NotFound for a place, or an athlete, that is not the viewer's, alike for one that is not."""
    if not (viewer.operator or viewer.roles() & COACHING):
        raise NotFound
    refs = queries_air.people(viewer)
    place = queries_air.place(viewer, refs, code)
    sharing = [ref for ref in refs if "checkins" in ref.shared]
    ref = next((ref for ref in sharing if ref.code == athlete_code), None)
    if athlete_code and ref is None:
        raise NotFound
    return _day(viewer, place, refs, (ref, sharing), day)


def own_day(viewer: Viewer, code: str, day: date | None = None, athlete_code: str | None = None) -> DayAtPlace:
    """The day for the athlete who looks, or for the minor whose guardian does; nobody else's sessions count.

    Raises NotFound for a place where they neither climb nor compete.
    """
    ref = access.athlete_to_check_in(viewer, athlete_code)
    return _day(viewer, queries_air.place(viewer, [ref], code), [ref], (ref, []), day)


def _day(
    viewer: Viewer, place: PlaceFacts, refs: Sequence[AthleteRef], whose: tuple[AthleteRef | None, list[AthleteRef]],
    day: date | None,
) -> DayAtPlace:  # fmt: skip
    """`whose`: the athlete whose fingers are meant, and those among whom a coach may choose."""
    ref, sharing = whose
    zone, now = queries_air.zone_of(place.id, refs), clock.now()
    today = clock.local_day(now, zone)
    day = day if day and abs((day - today).days) <= DAYS_AHEAD else today
    row, typical_of = _row(place, zone, day, now)
    past = past_sessions(sharing or ([ref] if ref else []), today)
    mine = [one for one in past if ref and one.athlete_id == ref.id]
    own, squad = _past(mine), _past(past if sharing else [])
    counted = (sum(one.hourly for one in mine), int(squad.good.size))
    who = _whose(viewer, ref, own, counted, day == today)
    found = Asked(place, zone, day, today, units_of(viewer), who)

    def costs(hours: Sequence[float], surface: str) -> dict[float, Cost]:
        """No chance is told beside a sign that a doctor must judge."""
        return day_cost.of_athlete(ref.id, today, day, surface, hours) if ref and who.verdict != "medical" else {}

    people = tuple((one.code, one.name) for one in sharing)
    return told(found, row, typical_of, Past(own, squad), people, costs)


def _row(place: PlaceFacts, zone: str, day: date, now: datetime) -> tuple[Row, str]:
    """From the noon before, so that thick rock remembers its night, to the end of the day."""
    first, end = (_midnight(d, zone) for d in (day, day + timedelta(days=1)))
    begin = first - timedelta(hours=12)
    starts = np.arange(begin.timestamp(), end.timestamp(), days.S_PER_H)
    margin = timedelta(hours=4)
    found = queries_air.readings(place.id, begin - margin, end + margin, now)
    typical = queries_air.typical(place.id, sorted({begin.month, end.month}))
    row = row_of(starts, found, typical)
    used = row.source[-int((end - first).total_seconds() // 3600) :]
    names = {hour.source for hour in typical.values()} if (used == days.TYPICAL).any() else set()
    return row, next(iter(names), "")


def _midnight(day: date, zone: str) -> datetime:
    return datetime.combine(day, time(), ZoneInfo(zone)).astimezone(UTC)


def _past(sessions: Sequence[PastSession]) -> PastAir:
    columns = np.array([(s.temp_c, s.dew_c, not s.skin_limited) for s in sessions], dtype=np.float64).reshape(-1, 3)
    return PastAir(columns[:, 0], columns[:, 1], columns[:, 2] > 0)


def _whose(
    viewer: Viewer, ref: AthleteRef | None, own: PastAir, counted: tuple[int, int], is_today: bool
) -> Whose:
    """`counted`: own sessions whose hours are known, and the squad's sessions."""
    hourly, squad = counted
    if ref is None:
        return Whose(None, "", None, "", 0, squad)
    athlete = show(viewer, [ref], course=False)[0]
    damp = athlete.picture.dampness_mean_pt if athlete.picture else None
    kind = "" if damp is None else "damp" if damp >= 6.5 else "dry" if damp <= 3.5 else "mixed"
    verdict = "medical" if athlete.medical in STOPS else athlete.today.may_climb if is_today else ""
    looks = ref.id == viewer.own_athlete_id
    return Whose(ref.code, ref.name, damp, kind, int(own.good.size), squad, hourly, looks, verdict)
