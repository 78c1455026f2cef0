"""When to look again at damage that is not sound."""

from __future__ import annotations

from datetime import date, timedelta

from athletes.records import queries
from athletes.records.viewer import Viewer
from coaching.usecases.rulebooks import books_for
from coaching.usecases.shown import NextLook

OPEN = frozenset({"open", "closing"})


def looks_apart(athlete_id: int, today: date) -> timedelta:
    """What the athlete's rulebook has between two looks."""
    return timedelta(days=books_for([athlete_id], today)[athlete_id].deadlines["look"].days[1])


def next_looks(stage: str, seen_on: date, today: date, apart: timedelta) -> tuple[date, ...]:
    """The days on which to look again, none in the past: the day after while it is open (common practice, no source:
    look again within a day), and a second look so many days later as are between two.
    """
    if stage == "sound":
        return ()
    first = seen_on + (timedelta(days=1) if stage in OPEN else apart)
    first = max(first, today)
    return (first, first + apart)


def looks_of(viewer: Viewer, athlete_id: int, today: date) -> tuple[NextLook, ...]:
    """Of all that is not sound: when to look at it again, the nearest first."""
    found = queries.open_episodes(viewer, athlete_id, today)
    if not found:
        return ()
    apart = looks_apart(athlete_id, today)
    told = []
    for one in found:
        seen_on = today if one.stage_today else one.looked_before or one.noticed_on
        for day in next_looks(one.stage_today or one.stage_before or "open", seen_on, today, apart)[:1]:
            told.append(NextLook(one.episode_id, one.kind, one.site, day))
    return tuple(sorted(told, key=lambda one: (one.day, one.site, one.episode_id)))
