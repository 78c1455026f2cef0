"""What is handed of one athlete to a doctor, minutes before they meet, and to a federation after a month."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from athletes.records import access, access_listing, queries_hand_over
from athletes.records.access import AthleteRef
from athletes.records.access_writing import TEAM, only
from athletes.records.errors import NotFound
from athletes.records.queries_hand_over import About, AnswersTold, CareDone, DamageTold
from athletes.records.viewer import Viewer
from coaching.ledger import reading
from coaching.usecases import clock
from coaching.usecases.cutting import causes_open_to
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown

BACK_DAYS = 28
"""How far care and answers go back on the card, and the length of a summary (judgement: a month)."""


@dataclass(frozen=True)
class HandOver:
    """The card. A part that is not shared is None."""

    athlete: AthleteShown
    about: About
    today: date
    known_at: datetime
    timezone: str
    damage: tuple[DamageTold, ...] | None
    care: tuple[CareDone, ...] | None
    answers: AnswersTold | None
    signoffs: tuple[tuple[str, str, date, date | None], ...] | None
    sightings: tuple[tuple[date, str, str], ...] | None


@dataclass(frozen=True)
class Summary:
    """A period of one athlete: what was concluded for each day (code of the verdict), problems, days on, answers."""

    athlete: AthleteShown
    age: int | None
    first: date
    last: date
    known_at: datetime
    timezone: str
    verdicts: dict[date, str]
    damage: tuple[DamageTold, ...] | None
    care: tuple[CareDone, ...] | None
    days_on: tuple[tuple[str, int, float], ...] | None
    answered: int | None


def hand_over(viewer: Viewer, code: str) -> HandOver:
    """As coach or medical person. Raises NotFound, for a manager as for a stranger: a card tells of health."""
    return _card(viewer, access.athlete_by_code(only(viewer, TEAM), code))


def own_hand_over(viewer: Viewer, code: str | None) -> HandOver:
    """As the athlete, or the guardian of a minor. Raises NotFound."""
    ref = access.own_athlete(viewer) if code is None else access.athlete_by_code(viewer, code)
    if not access.may_check_in(viewer, ref):
        raise NotFound
    return _card(viewer, ref)


def _card(viewer: Viewer, ref: AthleteRef) -> HandOver:
    now = clock.now()
    today, about, shown = _known(viewer, ref, now)
    since = today - timedelta(days=BACK_DAYS - 1)
    return HandOver(
        shown, about, today, now, ref.timezone,
        queries_hand_over.damage_of([ref], today + timedelta(days=1), today)[ref.id],
        queries_hand_over.care_of([ref], since, today)[ref.id],
        queries_hand_over.last_answers(ref, since, today),
        queries_hand_over.signoffs(ref, today),
        queries_hand_over.sightings(ref, since, today),
    )  # fmt: skip


def summary(viewer: Viewer, code: str) -> Summary:
    """The last four weeks, up to yesterday: today is not over. Raises NotFound as `hand_over` does."""
    ref, now = access.athlete_by_code(only(viewer, TEAM), code), clock.now()
    return _summaries(viewer, [ref], clock.local_day(now, ref.timezone), now)[0]


@dataclass(frozen=True)
class SquadSummary:
    """The same of everybody who shares their level with the viewer as one of the team, by code, over the same days.
    `not_shared` members share none.
    """

    first: date
    last: date
    known_at: datetime
    timezone: str
    athletes: tuple[Summary, ...]
    not_shared: int


def squad_summary(viewer: Viewer) -> SquadSummary:
    """In a fixed number of queries. Raises NotFound for whoever is not of the team of any squad, and where nobody
    shares a level.
    """
    team, now = only(viewer, TEAM), clock.now()
    refs = sorted(access.refs_visible(team), key=lambda ref: ref.code) if team.grants else []
    if not refs:
        raise NotFound
    members = {*access_listing.memberships(team).values_list("athlete_id", flat=True)}
    first, last = _days(viewer.today)
    zones = [ref.timezone for ref in refs]
    zone = min(set(zones), key=lambda one: (-zones.count(one), one))
    found = _summaries(viewer, refs, viewer.today, now)
    return SquadSummary(first, last, now, zone, tuple(found), len(members - {ref.id for ref in refs}))


def _days(today: date) -> tuple[date, date]:
    return today - timedelta(days=BACK_DAYS), today - timedelta(days=1)


def _summaries(viewer: Viewer, refs: Sequence[AthleteRef], today: date, now: datetime) -> list[Summary]:
    first, last = _days(today)
    shown, ages = show(viewer, refs, course=False), queries_hand_over.ages(refs, today)
    verdicts = reading.verdicts([ref.id for ref in refs], first, last)
    damage = queries_hand_over.damage_of(refs, first, last)
    care = queries_hand_over.care_of(refs, first, last)
    days_on = queries_hand_over.days_on_of(refs, first, last)
    answered = queries_hand_over.answered_of(refs, first, last)
    return [
        Summary(
            one, ages.get(ref.id), first, last, now, ref.timezone, verdicts[ref.id], damage[ref.id], care[ref.id],
            days_on[ref.id], answered[ref.id],
        )
        for ref, one in zip(refs, shown, strict=True)
    ]  # fmt: skip


def _known(viewer: Viewer, ref: AthleteRef, now: datetime) -> tuple[date, About, AthleteShown]:
    today = clock.local_day(now, ref.timezone)
    about = queries_hand_over.about(ref, today, causes_open=ref.id in causes_open_to(viewer))
    return today, about, show(viewer, [ref], course=False)[0]
