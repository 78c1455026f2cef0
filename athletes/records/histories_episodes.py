"""Damage that is not sound and the entries it stands in the way of, as arrays on the days of a course."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Protocol

import numpy as np

from athletes.records.histories_finished import closed_days, last_run, stacked_finished
from athletes.records.histories_needs import weight
from athletes.records.histories_tries import try_passed
from coaching.rules.facts import AthleteFacts, EpisodeFact, LookFact
from coaching.rules.holds import zone_of
from coaching.rules.skin import pink
from coaching.science.inputs import KINDS, PLACES, STAGES, Episodes, Finished, Floats, Targets

PINK_ID = "*pink"
"""Code of an athlete's pink tips among the episodes; no code of a record has a star."""
PADS = ("tip", "middle", "base")


class Days(Protocol):
    """The days of a course: what the arrays here need of it."""

    @property
    def days(self) -> int: ...
    @property
    def origin(self) -> int: ...
    def column(self, day: date) -> int: ...


EpisodeIndex = tuple[tuple[int, tuple[EpisodeFact, ...]], ...]
"""Row of the athlete, and the facts of each episode: one, or one for each pink tip."""


def looks_by_day(looks: Sequence[LookFact], until: date) -> list[LookFact]:
    """One look a day up to a day, oldest first. Of two a day the worse answer to each question counts."""
    found: dict[date, LookFact] = {}
    for look in sorted(looks, key=lambda one: one.day):
        if look.day <= until:
            found[look.day] = _worse(found[look.day], look) if look.day in found else look
    return list(found.values())


def _worse(a: LookFact, b: LookFact) -> LookFact:
    def either(x: bool | None, y: bool | None) -> bool | None:
        return None if x is None and y is None else bool(x) or bool(y)

    def both(x: bool | None, y: bool | None) -> bool | None:
        return y if x is None else x if y is None else x and y

    pains = [pain for pain in (a.pain, b.pain) if pain is not None]
    return LookFact(
        day=a.day,
        stage=min(a.stage, b.stage, key=STAGES.index),
        pain=max(pains, default=None),
        opens_on_pull=either(a.opens_on_pull, b.opens_on_pull),
        balm_night=both(a.balm_night, b.balm_night),
        taped=both(a.taped, b.taped),
        bled=either(a.bled, b.bled),
    )


def episode_arrays(facts: Sequence[AthleteFacts], grid: Days) -> tuple[Episodes, EpisodeIndex]:
    """The episodes not seen sound by the origin, in the order of the athletes and then of their codes.

    Pink tips in force are the last episode of their athlete: one, since reserve is that of the worst pad. What was seen
    sound is no row, but stands among the finished.
    """
    today = date.fromordinal(grid.origin - grid.column(date.fromordinal(1)) + 1)
    index: list[tuple[int, tuple[EpisodeFact, ...]]] = []
    rows: list[tuple[float, ...]] = []
    over: list[tuple[int, EpisodeFact, Sequence[LookFact]]] = []
    for row, one in enumerate(facts):
        for episode in sorted(one.episodes, key=lambda e: (e.noticed_on, e.episode_id)):
            looks = looks_by_day(episode.looks, today)
            if episode.noticed_on > today:
                continue
            if looks and looks[-1].stage == "sound":
                over.append((row, episode, looks))
            else:
                index.append((row, (episode,)))
                tried = try_passed(one, episode, looks, today)
                rows.append((row, *_episode(episode, looks, grid), float(tried)))
        tips = pink_tips(one, today)
        if tips:
            index.append((row, tips))
            rows.append((row, *_episode(tips[0], (), grid), 0.0))
    return _stacked(rows, stacked_finished([(*one, place_of(one[1].site)) for one in over], grid)), tuple(index)


def pink_tips(one: AthleteFacts, today: date) -> tuple[EpisodeFact, ...]:
    """Pink tips in force, as damage of the day on which pink was last seen."""
    found = pink(one, today)
    return tuple(EpisodeFact(PINK_ID, site, "pink", found.seen_on) for site in found.sites) if found else ()


def _stacked(rows: Sequence[tuple[float, ...]], finished: Finished) -> Episodes:
    table = np.array(rows, dtype=np.float64).reshape(len(rows), 18).T
    whole = [table[i].astype(np.int64) for i in (0, 1, 2, 4, 5, 6, 7, 8, 9, 14, 15, 16)]
    athlete, kind, place, noticed, looked, stage, since, shut_after, shut_by, begun, reopened, closed_d = whole
    return Episodes(
        athlete=athlete,
        kind=kind,
        place=place,
        deep=table[3],
        noticed=noticed,
        looked=looked,
        stage=stage,
        stage_since=since,
        shut_after=shut_after,
        shut_by=shut_by,
        pain=table[10],
        opens=table[11],
        balm_share=table[12],
        tried=table[17] > 0.5,
        taped=table[13],
        begun=begun,
        reopened=reopened,
        closed_d=closed_d,
        finished=finished,
    )


def _episode(episode: EpisodeFact, looks: Sequence[LookFact], grid: Days) -> tuple[float, ...]:
    noticed = grid.column(episode.noticed_on)
    depth = {"deep": 1.0, "shallow": 0.0}.get(episode.depth or "", np.nan)
    balm = [look.balm_night for look in looks if look.balm_night is not None]
    run = last_run(looks, episode.noticed_on)
    return (
        KINDS.index(episode.kind),
        PLACES.index(place_of(episode.site)),
        depth,
        noticed,
        grid.column(looks[-1].day) if looks else noticed,
        STAGES.index(looks[-1].stage) if looks else -1,
        grid.column(_stage_since(looks)) if looks else noticed,
        grid.column(run.shut_after),
        grid.column(run.shut_by),
        _last([look.pain for look in looks]),
        _last([look.opens_on_pull for look in looks]),
        float(np.mean(balm)) if balm else np.nan,
        _last([look.taped for look in looks]),
        grid.column(run.begun),
        run.reopened,
        closed_days(looks),
    )


def _last(answers: Sequence[float | None]) -> float:
    return next((float(answer) for answer in reversed(answers) if answer is not None), np.nan)


def _stage_since(looks: Sequence[LookFact]) -> date:
    """Day of the first look of the present run of the last stage."""
    since = looks[-1].day
    for look in reversed(looks):
        if look.stage != looks[-1].stage:
            break
        since = look.day
    return since


def place_of(site: str) -> str:
    """pad, crease or other, as healing tells them apart."""
    zone = zone_of(site)
    if zone in PADS:
        return "pad"
    return "crease" if zone.endswith("-crease") else "other"


def target_arrays(
    facts: Sequence[AthleteFacts], grid: Days, episodes: EpisodeIndex
) -> tuple[Targets, tuple[str, ...]]:
    """The entries that begin within the course and end no earlier than its origin, nearest first."""
    index: list[tuple[int, str]] = []
    days: list[tuple[int, int, bool]] = []
    weights: list[Floats] = []
    for row, one in enumerate(facts):
        for entry in sorted(one.entries, key=lambda e: (e.first_day, e.last_day, e.event_id)):
            first, last = grid.column(entry.first_day), grid.column(entry.last_day)
            if last < grid.origin or first >= grid.days:
                continue
            index.append((row, entry.event_id))
            days.append((max(first, grid.origin), min(last, grid.days - 1), entry.kind == "trip"))
            mattering = [max(weight(entry, e) for e in group) if row == r else 0.0 for r, group in episodes]
            weights.append(np.array(mattering))
    spans = np.array([day[:2] for day in days], dtype=np.int64).reshape(len(days), 2)
    targets = Targets(
        athlete=np.array([row for row, _ in index], dtype=np.int64),
        first=spans[:, 0],
        last=spans[:, 1],
        trip=np.array([day[2] for day in days], dtype=np.bool_),
        weight=np.array(weights, dtype=np.float64).reshape(len(index), len(episodes)),
    )
    return targets, tuple(event_id for _, event_id in index)
