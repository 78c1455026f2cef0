"""In session: tries counted tap by tap beside the day's limit, until it is enough or skin is about to open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db import transaction

from athletes.records import access, queries, taps, writes
from athletes.records.access import AthleteRef
from athletes.records.errors import NotFound
from athletes.records.queries_own_sessions import DaySession, day_sessions
from athletes.records.taps import TapTold
from athletes.records.viewer import Viewer
from coaching.rules.conclusions import Limit, Today
from coaching.usecases import clock, counting
from coaching.usecases.after_session import LATE_DAYS, MOST
from coaching.usecases.showing import show
from coaching.usecases.storing import not_to_come, storing


@dataclass(frozen=True)
class Tally:
    """The page: what is counted, what is planned, what today allows. `limits` are those of today alone."""

    athlete_code: str
    athlete_name: str
    timezone: str
    dominant_hand: str | None
    now: datetime
    today: date
    day: date
    counted: counting.Counted
    planned: DaySession | None
    verdict: Today
    medical: str
    limits: tuple[Limit, ...]

    @property
    def most_tries(self) -> int | None:
        """The least that a limit of the day allows; 0 where one allows no load; None where none says a number."""
        said = [0 if one.surface is None else one.hard_tries for one in self.limits if one.if_ is None]
        return min((n for n in said if n is not None), default=None)

    @property
    def enough(self) -> bool:
        """The day's limit of hard tries is reached."""
        return self.most_tries is not None and self.counted.total >= self.most_tries


def tally(viewer: Viewer, athlete_code: str | None = None, day: date | None = None) -> Tally:
    """Today's count, or that of a day at most a fortnight back. Raises NotFound where there is no such athlete."""
    ref = access.athlete_to_check_in(viewer, athlete_code)
    now = clock.now()
    today = clock.local_day(now, ref.timezone)
    chosen = day if day is not None and today - timedelta(days=LATE_DAYS) <= day <= today else today
    found = day_sessions(viewer, ref.id, chosen)
    ordinal = _ordinal(found)
    planned = {one.ordinal: one for one in found if one.planned}
    shown = show(viewer, [ref])[0]
    return Tally(
        ref.code, ref.name, ref.timezone, ref.dominant_hand, now, today, chosen,
        counting.of_session(taps.of_day(ref.id, chosen), ordinal), planned.get(ordinal),
        shown.today, shown.medical, tuple(one for one in shown.limits if one.date == chosen),
    )  # fmt: skip


def tap(viewer: Viewer, athlete_code: str | None, told: TapTold, last_day: date | None = None) -> bool:
    """Count one tap; False where it was there already. `last_day` is the last that has begun where they are, if not at
    home. Raises NotFound for whoever may not, and BadInput.
    """
    ref, at = access.athlete_to_check_in(viewer, athlete_code), clock.now()
    not_to_come("local_date", told.local_date, ref, at, last_day)
    with transaction.atomic():
        return taps.store(ref.id, _dated(told, at))


def take_back(viewer: Viewer, athlete_code: str | None, told: TapTold, last_day: date | None = None) -> None:
    """Count the tap of that key no more, whether it has arrived or not. Raises NotFound, BadInput."""
    ref, at = access.athlete_to_check_in(viewer, athlete_code), clock.now()
    not_to_come("local_date", told.local_date, ref, at, last_day)
    with transaction.atomic():
        taps.take_back(ref.id, _dated(told, at))


def say_where(viewer: Viewer, athlete_code: str | None, key: str, site: str, opened: bool) -> None:
    """Where skin was about to open, and unless it has opened, a mark there for the day. Raises NotFound, BadInput."""
    ref, at = access.athlete_to_check_in(viewer, athlete_code), clock.now()
    with storing([ref.id], at):
        if not taps.say_where(ref.id, key, site):
            raise NotFound
        end = taps.standing(ref.id, key)
        if end is not None and not opened:
            _mark(viewer, ref, end.local_date, site, at)


def ended_at(viewer: Viewer, athlete_code: str | None, key: str) -> str:
    """The site at which the session of that tap ended, or empty: so that an address names the tap and no site. Raises
    NotFound where the viewer has no such athlete.
    """
    end = taps.standing(access.athlete_to_check_in(viewer, athlete_code).id, key)
    return end.site if end else ""


def _mark(viewer: Viewer, ref: AthleteRef, day: date, site: str, at: datetime) -> None:
    """One mark more on the day's answers; what else was answered stays."""
    stored = queries.checkin_of_day(viewer, ref.id, day)
    marks = [list(pair) for pair in stored.marks] if stored else []
    if [site, "pink"] not in marks:
        told = {"local_date": day, "marks": [tuple(pair) for pair in (*marks, [site, "pink"])]}
        writes.store_checkin(athlete_id=ref.id, answers=told, made_at=at, by=viewer.account_id)


def _ordinal(found: tuple[DaySession, ...]) -> int:
    """The first planned session not told of; else one more than was told, or the last there is room for."""
    told = {one.ordinal for one in found if not one.planned}
    waiting = [one.ordinal for one in found if one.planned and one.ordinal not in told]
    return min(waiting) if waiting else min(max(told, default=0) + 1, MOST)


def _dated(told: TapTold, at: datetime) -> TapTold:
    """The tap with an hour that can be: the phone's own, where it is not ahead of ours nor on another day."""
    near = at - timedelta(days=LATE_DAYS) <= told.made_at <= at
    return told if near else TapTold(**{**vars(told), "made_at": at})


