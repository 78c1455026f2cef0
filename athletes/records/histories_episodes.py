"""Damage that is not sound and the entries it stands in the way of, as arrays on the days of a course."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Protocol

import numpy as np

from coaching.rules.facts import AthleteFacts, EntryFact, EpisodeFact, LookFact
from coaching.rules.holds import KINDS as KINDS_OF_HOLD
from coaching.rules.holds import hurt_by, near, zone_of
from coaching.science.inputs import KINDS, PLACES, STAGES, Episodes, Floats, Targets

NOT_NEEDED_WEIGHT = 0.4
"""How much damage matters at a site that the event does not ask for (judgement: a hand is used whole)."""
PADS = ("tip", "middle", "base")


class Days(Protocol):
    """The days of a course: what the arrays here need of it."""

    @property
    def days(self) -> int: ...
    @property
    def origin(self) -> int: ...
    def column(self, day: date) -> int: ...


EpisodeIndex = tuple[tuple[int, EpisodeFact], ...]


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
    """The episodes not seen sound by the origin, in the order of the athletes and then of their codes."""
    today = date.fromordinal(grid.origin - grid.column(date.fromordinal(1)) + 1)
    index: list[tuple[int, EpisodeFact]] = []
    rows: list[tuple[float, ...]] = []
    for row, one in enumerate(facts):
        for episode in sorted(one.episodes, key=lambda e: (e.noticed_on, e.episode_id)):
            looks = looks_by_day(episode.looks, today)
            if episode.noticed_on <= today and not (looks and looks[-1].stage == "sound"):
                index.append((row, episode))
                rows.append((row, *_episode(episode, looks, grid)))
    return _stacked(rows), tuple(index)


def _stacked(rows: Sequence[tuple[float, ...]]) -> Episodes:
    table = np.array(rows, dtype=np.float64).reshape(len(rows), 11).T
    whole = [table[i].astype(np.int64) for i in (0, 1, 2, 4, 5, 6, 7)]
    athlete, kind, place, noticed, looked, stage, since = whole
    return Episodes(
        athlete, kind, place, table[3], noticed, looked, stage, since, table[8], table[9], table[10]
    )


def _episode(episode: EpisodeFact, looks: Sequence[LookFact], grid: Days) -> tuple[float, ...]:
    noticed = grid.column(episode.noticed_on)
    depth = {"deep": 1.0, "shallow": 0.0}.get(episode.depth or "", np.nan)
    balm = [look.balm_night for look in looks if look.balm_night is not None]
    return (
        KINDS.index(episode.kind),
        PLACES.index(place_of(episode.site)),
        depth,
        noticed,
        grid.column(looks[-1].day) if looks else noticed,
        STAGES.index(looks[-1].stage) if looks else -1,
        grid.column(_stage_since(looks)) if looks else noticed,
        _last([look.pain for look in looks]),
        _last([look.opens_on_pull for look in looks]),
        float(np.mean(balm)) if balm else np.nan,
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
            weights.append(np.array([weight(entry, e) if row == r else 0.0 for r, e in episodes]))
    spans = np.array([day[:2] for day in days], dtype=np.int64).reshape(len(days), 2)
    targets = Targets(
        athlete=np.array([row for row, _ in index], dtype=np.int64),
        first=spans[:, 0],
        last=spans[:, 1],
        trip=np.array([day[2] for day in days], dtype=np.bool_),
        weight=np.array(weights, dtype=np.float64).reshape(len(index), len(episodes)),
    )
    return targets, tuple(event_id for _, event_id in index)


def weight(entry: EntryFact, episode: EpisodeFact) -> float:
    """How much an episode matters for an entry, 0-1.

    1 where the event needs the site, or says neither which sites nor which holds it needs. Where it names
    sites and none is on this finger, and where it names kinds of hold and none hurts this damage, the weight
    is cut each time.
    """
    if episode.site in entry.needs_sites:
        return 1.0
    found = 1.0
    if entry.needs_sites and not any(near(episode.site, site) for site in entry.needs_sites):
        found *= NOT_NEEDED_WEIGHT
    asked = set(KINDS_OF_HOLD).intersection(entry.styles)
    if asked and not asked.intersection(hurt_by(episode.site, episode.kind)):
        found *= NOT_NEEDED_WEIGHT
    return found
