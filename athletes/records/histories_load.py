"""Sessions, rest and days away -> loads of each day. A day is without load only where that is known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from athletes.records.histories_care import CareRows
from athletes.records.histories_grid import Grid
from coaching.rules.facts import AthleteFacts, EntryFact, SessionFact
from coaching.science.inputs import Bools, Floats
from coaching.science.load import SURFACE_FACTORS, skin_load_slu, strain_au
from coaching.science.quantities import QUANTITIES

IDLE_AWAY = ("illness", "travel", "other")
"""Days away that are known to be without load; days at the water are not."""
PLANNED_REST_GAP_D = 7
"""Between two planned sessions no further apart than this, a day without one is planned rest (judgement)."""


@dataclass(frozen=True)
class SessionArrays:
    """Sums of the sessions of each day; NaN where a session is there but its load is not known."""

    done: Bools
    planned: Bools
    done_slu: Floats
    planned_slu: Floats
    done_strain_au: Floats
    limited: Floats
    places: tuple[tuple[int, int, SessionFact], ...]  # (row, column, session) of those with known air


def _merged(sessions: Iterable[SessionFact]) -> list[SessionFact]:
    """One session for each day, kind and number; of two reports of one session the larger answer to each
    question.
    """
    found: dict[tuple[date, bool, int], SessionFact] = {}
    for session in sessions:
        key = (session.day, session.planned, session.ordinal)
        found[key] = _fuller(found[key], session) if key in found else session
    return list(found.values())


def _fuller(a: SessionFact, b: SessionFact) -> SessionFact:
    def larger(x: float | None, y: float | None) -> float | None:
        return y if x is None else x if y is None else max(x, y)

    tries, limited = larger(a.hard_tries, b.hard_tries), larger(a.skin_limited, b.skin_limited)
    rougher = max((a.surface, b.surface), key=lambda s: SURFACE_FACTORS.get(s or "", 0.0))
    return SessionFact(
        day=a.day,
        planned=a.planned,
        minutes=larger(a.minutes, b.minutes),
        rpe=larger(a.rpe, b.rpe),
        surface=rougher,
        hard_tries=None if tries is None else int(tries),
        skin_limited=None if limited is None else bool(limited),
        ordinal=a.ordinal,
        air_temp_c=larger(a.air_temp_c, b.air_temp_c),
        air_rh_pct=larger(a.air_rh_pct, b.air_rh_pct),
    )


def session_arrays(facts: Sequence[AthleteFacts], grid: Grid) -> SessionArrays:
    placed = (
        (row, grid.column(session.day), _on_the_rock(session, one.entries))
        for row, one in enumerate(facts)
        for session in _merged(one.sessions)
    )
    flat = [
        (row, column, session)
        for row, column, session in placed
        if 0 <= column < grid.days and (column <= grid.origin or session.planned)
    ]
    flat.sort(key=lambda place: (place[0], place[1], place[2].ordinal))  # sums of floats keep their order
    done = [place for place in flat if not place[2].planned]
    planned = [place for place in flat if place[2].planned]
    return SessionArrays(
        done=grid.marked(done),
        planned=grid.marked(planned),
        done_slu=_summed(done, grid, _slu),
        planned_slu=_summed(planned, grid, _slu),
        done_strain_au=_summed(done, grid, _strain),
        limited=_limited(done, grid),
        places=tuple(place for place in [*planned, *done] if place[2].air_temp_c is not None),
    )


Placed = Sequence[tuple[int, int, SessionFact]]


def _field(placed: Placed, name: str) -> Floats:
    return np.array(
        [getattr(session, name) for _, _, session in placed], dtype=np.float64
    )  # None becomes NaN


def _slu(placed: Placed) -> Floats:
    # Where neither the session nor its place names a surface, plastic stands, on which most training is done.
    factor = np.array([SURFACE_FACTORS[s.surface or "plastic"] for _, _, s in placed], dtype=np.float64)
    return skin_load_slu(
        _field(placed, "minutes"), _field(placed, "rpe"), _field(placed, "hard_tries"), factor
    )


def _strain(placed: Placed) -> Floats:
    return strain_au(_field(placed, "minutes"), _field(placed, "rpe"))


def _summed(placed: Placed, grid: Grid, measure: Callable[[Placed], Floats]) -> Floats:
    total = np.zeros((grid.athletes, grid.days))
    if placed:
        rows, columns = (np.array([place[axis] for place in placed]) for axis in (0, 1))
        np.add.at(total, (rows, columns), measure(placed))
    return total


def _limited(done: Placed, grid: Grid) -> Floats:
    """1 where skin limited any session of the day, 0 where it is known of each that it did not."""
    answers: dict[tuple[int, int], list[bool | None]] = {}
    for row, column, session in done:
        answers.setdefault((row, column), []).append(session.skin_limited)
    found = grid.nan()
    for place, given in answers.items():
        if any(given):
            found[place] = 1.0
        elif None not in given:
            found[place] = 0.0
    return found


def _idle_away(facts: Sequence[AthleteFacts], grid: Grid) -> Bools:
    """Days away that are known to be without load: days of an event are so only in illness."""
    found, event = grid.false(), _event_days(facts, grid)
    for row, one in enumerate(facts):
        for away in (a for a in one.away if a.kind in IDLE_AWAY):
            days = grid.span(away.first_day, away.last_day)
            found[row, days] |= True if away.kind == "illness" else ~event[row, days]
    return found


def _event_days(facts: Sequence[AthleteFacts], grid: Grid) -> Bools:
    found = grid.false()
    for row, one in enumerate(facts):
        spans = [(entry.first_day, entry.last_day) for entry in one.entries]
        for first, last in (*spans, *one.other_event_days):
            found[row, grid.span(first, last)] = True
    return found


@dataclass(frozen=True)
class KnownRest:
    """Days known to be without load: `done` as lived, `planned` as planned; and the days of events."""

    done: Bools
    planned: Bools
    event: Bools


def known_rest(facts: Sequence[AthleteFacts], grid: Grid, care: CareRows) -> KnownRest:
    away, event = _idle_away(facts, grid), _event_days(facts, grid)
    rest = [row for row in care if row[2].form == "rest day"]
    done, planned = (
        grid.marked(row for row in rest if row[2].status == status) for status in ("done", "planned")
    )
    return KnownRest(away | done, away | planned, event)


def done_loads(grid: Grid, sessions: SessionArrays, answered: Bools, rest: Bools) -> tuple[Floats, Floats]:
    """Skin and body load of each day; 0 only where the day is known to be without load.

    It is so on days of known rest, and where the athlete answered that morning or the next and no session was
    planned.
    """
    next_morning = np.pad(answered[:, 1:], ((0, 0), (0, 1)))
    without = ~sessions.done & (rest | ((answered | next_morning) & ~sessions.planned))
    found = []
    for total in (sessions.done_slu, sessions.done_strain_au):
        known = np.where(sessions.done, total, np.where(without, 0.0, np.nan))
        found.append(np.where(grid.past, known, np.nan))
    return found[0], found[1]


def _on_the_rock(session: SessionFact, entries: Iterable[EntryFact]) -> SessionFact:
    """The session on the event's surface where it lies on its days and neither it nor its place names one."""
    if session.surface:
        return session
    there = (e.surface for e in entries if e.first_day <= session.day <= e.last_day and e.surface)
    return replace(session, surface=next(there, None))


def planned_load(
    facts: Sequence[AthleteFacts], grid: Grid, sessions: SessionArrays, rest: KnownRest
) -> Floats:
    """Planned load; 0 on days of planned rest and, ahead, between planned sessions; NaN where no plan is.

    A trip for which any session is planned is planned whole: its other days are rest (judgement).
    """
    without = rest.planned | (_between(grid, sessions.planned) & ~rest.event)
    for row, days, _ in _trips(facts, grid):
        if sessions.planned[row, days].any():
            without[row, days] |= ~sessions.planned[row, days]
    return np.where(sessions.planned, sessions.planned_slu, np.where(without, 0.0, np.nan))


def trip_load(facts: Sequence[AthleteFacts], grid: Grid, plan: Floats) -> Floats:
    """A day of a trip from the origin on for which no plan is known; NaN on all other days.

    By its surface; a trip that names none is taken for one on ordinary rock (judgement).
    """
    found = grid.nan()
    for row, days, surface in _trips(facts, grid):
        day_slu = QUANTITIES["load_trip_day_slu"].default * SURFACE_FACTORS[surface or "ordinary rock"]
        found[row, days] = np.where(np.isnan(plan[row, days]), day_slu, np.nan)
    return found


def _trips(facts: Sequence[AthleteFacts], grid: Grid) -> Iterator[tuple[int, slice, str | None]]:
    """Row, columns from the origin on, and surface of each trip that is not over."""
    for row, one in enumerate(facts):
        for entry in sorted(one.entries, key=lambda e: (e.first_day, e.last_day, e.event_id)):
            days = grid.span(entry.first_day, entry.last_day)
            if entry.kind == "trip" and entry.status != "withdrawn":
                yield row, slice(max(days.start, grid.origin), max(days.stop, grid.origin)), entry.surface


def _between(grid: Grid, planned: Bools) -> Bools:
    """Days ahead without a session between two planned ones close enough."""
    column = np.arange(grid.days)
    before = np.maximum.accumulate(np.where(planned, column, -(10**6)), axis=1)
    after = np.minimum.accumulate(np.where(planned, column, 10**6)[:, ::-1], axis=1)[:, ::-1]
    return (after - before <= PLANNED_REST_GAP_D) & ~grid.past
